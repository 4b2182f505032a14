"""The command line: one thin file a command. Heavy imports stay inside the commands."""
