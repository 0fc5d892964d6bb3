"""Lets ``python -m slackloop`` stand for the command."""

from slackloop.cli import main

raise SystemExit(main())
