"""The commands, one module each with ``run(asked) -> exit status``; imported only when asked for."""
