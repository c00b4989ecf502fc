"""The ``survey`` command: readings of a meter beside their prediction."""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path

from app.cli.command import DONE, FINDING, Command
from core.entry.survey import as_data, as_text, kept, survey_report
from core.errors import InputError
from core.files.companions import take_along
from core.files.paths import same_file
from core.files.site_file import load_site
from core.files.site_writer import save_site
from core.files.survey_table import SurveyTable, read_survey
from core.reading.cautions import SHORT
from core.site.surveys import Survey

PLOTS = (".png", ".pdf")


def _options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("site")
    parser.add_argument("table", metavar="FILE.csv", help="columns x,y,z,value,unit and more")
    parser.add_argument("--json", action="store_true", help="print data instead of text")
    parser.add_argument(
        "-o",
        "--output",
        metavar="FILE",
        help="a .json: keep the readings in a site file; a .png or .pdf: the plot, read against predicted",
    )
    parser.add_argument("--name", help="what the survey is called there (the table's name)")
    parser.add_argument(
        "--as-filed",
        action="store_true",
        help="emitters a row says nothing of were then as the site file has them",
    )


def survey_command(args: argparse.Namespace) -> int:
    """Print predicted beside measured; with -o also write the site that keeps the readings."""
    site = load_site(args.site)
    output = None
    if args.output is not None:
        output = Path(args.output)
        if output.suffix.lower() not in (".json", *PLOTS):
            raise InputError(
                "is no site file and no plot",
                source=args.output,
                fix="End it in .json, .png or .pdf",
            )
        if any(same_file(output, p) for p in (args.site, args.table)):
            raise InputError(
                "would overwrite what is read",
                source=args.output,
                field="-o",
                fix="Name a new file",
            )
    if args.name is not None and (output is None or output.suffix.lower() in PLOTS):
        raise InputError("goes with -o only", field="--name", fix="Add -o NEW.json")
    table = read_survey(Path(args.table), site, as_filed=args.as_filed)
    name = args.name or Path(args.table).stem
    survey = Survey(name=name, readings=tuple(r for _, r in table.readings))
    report = survey_report(site, survey)
    if output is not None and output.suffix.lower() in PLOTS:
        from app.draw.survey_plot import save_survey_plot

        save_survey_plot(output, report, f"{site.name}: {name}, read against predicted")
    elif output is not None:
        now = kept(site, survey)
        take_along(site, Path(args.site).parent, output.parent)
        save_site(now, output)
    if args.json:
        data = as_data(report)
        rows = [{"row": i} | row for (i, _), row in zip(table.readings, data["rows"], strict=True)]
        data |= {"rows": rows, "rejected": _rejected(table)}
        sys.stdout.write(json.dumps(data, indent=2, ensure_ascii=False) + "\n")
    else:
        for bad in table.rejected:
            print(f"NOT USED: {bad.words}")
        sys.stdout.write(as_text(report))
        print(SHORT)
        if output is not None:
            print(output)
    return FINDING if table.rejected or report.raises else DONE


def _rejected(table: SurveyTable) -> list[dict[str, object]]:
    return [
        {"row": bad.row, "column": bad.column, "reason": bad.reason, "cure": bad.cure}
        for bad in table.rejected
    ]


COMMAND = Command("survey", "readings of a meter beside their prediction", _options, survey_command)
