"""Statistics of readings: arrays in, frozen results out."""
