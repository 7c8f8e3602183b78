"""The order and the timing of a recital, from plain values."""
