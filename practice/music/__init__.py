"""Pure music: pitches, keys, scales, fingerings, bowings and exercises. Standard library only."""
