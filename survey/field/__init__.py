"""From a job's files to adjusted heights: book, job file, readings, levelling."""
