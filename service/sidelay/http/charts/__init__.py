"""Pictures of a comparison: facts and words first, then figures drawn with Matplotlib."""
