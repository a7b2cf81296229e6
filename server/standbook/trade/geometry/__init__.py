"""Shapes and angles: crank, valves, order."""
