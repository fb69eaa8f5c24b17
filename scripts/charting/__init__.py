"""What scripts/make-cells is made of: writing ISO/IEC 8211 and S-57, and charting an invented haven. Standard library
only."""
