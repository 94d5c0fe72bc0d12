"""A computed tomography scan of something that does not exist.

`geometry` says where things are and `things` strews the loose ones; `surroundings`, `fill`,
`ceramics`, `coil` and `pieces` paint them into one slice; `scanner` makes it look measured;
`dicom_files` writes it.
"""
