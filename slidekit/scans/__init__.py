"""The image stage: DICOM in, numpy out. Knows nothing of storyboards, slides or styles."""
