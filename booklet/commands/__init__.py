"""The commands of `booklet`, a module each: a function that typer calls with what was typed. `cli` lists them.

A command reads, calls the same few functions as a Python user, and says how it went. What is dear to import it brings in
when it is called.
"""
