"""The report as documents: PDF, workbook, JSON. Each is a function of the report and nothing else."""
