"""What must hold when things break: full disks, killed processes, many writers at once, a hostile network."""
