"""The file a person wrote: reading with places, schema, quantities, findings."""
