"""Files with places: YAML to nodes, one type of finding, one list of codes."""
