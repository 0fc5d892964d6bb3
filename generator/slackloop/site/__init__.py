"""What a job says: models, effective values, the standard under the job, boxes and runs as a network."""
