"""What is dug and driven: trench, cover, electrodes."""
