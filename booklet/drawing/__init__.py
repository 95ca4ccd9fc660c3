"""Pictures and pages as one small display list: built here, painted by `booklet.printing`."""
