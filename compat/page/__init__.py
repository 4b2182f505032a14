"""The tool in a browser: its screens, the page that holds them, and the server on this machine."""
