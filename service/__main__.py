"""`python -m service`: the command line."""

from service.cli.main import main

main()
