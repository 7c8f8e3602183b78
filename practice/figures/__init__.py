"""Pure figures: totals and trends as numbers. Standard library only."""
