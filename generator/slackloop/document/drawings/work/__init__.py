"""Pictures of work in hand: tools, wires, and a module for each group of work."""
