"""The ferry landing: model actions, faults, start drawings and lectures of the workbook.

Imports `model`, `geometry`, `physics`, `rules`, `assist`.
"""
