"""The ferry landing: model actions, faults, start drawings and lectures of the workbook. Imports `assist` and what stands above it."""
