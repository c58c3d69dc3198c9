"""Reads content/ into typed records; knows nothing of formulas, pages or the web.

Importing this package loads neither the Markdown nor the YAML library: only reading the files does (`library`).
"""
