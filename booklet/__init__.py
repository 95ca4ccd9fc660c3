"""From drafted pattern pieces and a sewing recipe to a printed booklet."""
