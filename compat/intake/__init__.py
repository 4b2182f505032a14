"""Reading circuit schedules as people write them, each value with the cell it came from."""
