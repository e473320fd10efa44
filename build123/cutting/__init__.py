"""What a machine cuts of each part: plain operations for each worked face, as seen, from the features alone."""
