"""`python -m canalclock` is the command `canalclock`."""

from canalclock.cli import main

if __name__ == "__main__":
    main()
