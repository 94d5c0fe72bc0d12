"""DICOM files: their headers, tables and pixels, and the series that they make."""
