"""Pure planning: from one lesson's decisions to a week of practice. Standard library only."""
