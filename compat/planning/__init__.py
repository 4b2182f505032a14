"""What follows from the verdicts for the installation: lines, addresses, patches."""
