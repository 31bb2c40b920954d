"""`python -m ledger` is the console command."""

from __future__ import annotations

from ledger.cli import main

if __name__ == "__main__":
    main()
