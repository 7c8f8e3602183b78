"""Days, weeks, wall times and free times, as pure functions on plain values."""
