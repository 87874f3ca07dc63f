//! `wattspring new`: asks for the six facts that were not given and writes a commented starter record.

use crate::ask::ask;
use crate::cli::{NewArgs, Today};
use crate::starter::{self, Facts};
use miette::{IntoDiagnostic, WrapErr, miette};
use std::io::{BufRead, Write};

/// Asks, builds and writes; tells what to do next.
pub(crate) fn run(args: &NewArgs, input: &mut impl BufRead, talk: &mut impl Write) -> miette::Result<()> {
    if args.file.exists() {
        let name = args.file.display();
        return Err(miette!(
            help = "give another name, or move the old record away",
            "`{name}` exists already"
        ));
    }
    let mut facts = given(args)?;
    if !args.no_questions {
        ask_for_the_rest(&mut facts, input, talk)
            .into_diagnostic()
            .wrap_err("the questions could not be asked")?;
    }
    let job = starter::record(&facts);
    let problems = job::validate(&job);
    if !problems.is_empty() {
        let list: Vec<String> = problems.iter().map(ToString::to_string).collect();
        return Err(miette!(
            help = "nothing was written",
            "these facts do not make a record: {}",
            list.join("; ")
        ));
    }
    let text = jobfile::starter(&job);
    std::fs::write(&args.file, text)
        .into_diagnostic()
        .wrap_err_with(|| format!("`{}` could not be written", args.file.display()))?;
    let file = args.file.display();
    writeln!(talk, "Wrote {file}. Next: wattspring assess {file}")
        .into_diagnostic()
        .wrap_err("nothing could be printed")
}

fn given(args: &NewArgs) -> miette::Result<Facts> {
    let together = match &args.together {
        Some(list) => starter::fixture_list(list).map_err(|problem| miette!("--together: {problem}"))?,
        None => Vec::new(),
    };
    Ok(Facts {
        title: args.title.clone(),
        postal_code: args.postal_code.clone(),
        service: args.service,
        free_spaces: args.free_spaces,
        unit: args.unit,
        circuits: args.circuits,
        unit_voltage: Some(args.unit_voltage),
        distance: args.distance,
        together,
        today: args.today,
        pressure: args.pressure,
    })
}

fn ask_for_the_rest(
    facts: &mut Facts,
    input: &mut impl BufRead,
    talk: &mut impl Write,
) -> std::io::Result<()> {
    writeln!(
        talk,
        "Six facts make a first answer. An empty line means: not known yet.\n"
    )?;
    if facts.title.is_none() {
        facts.title = ask(input, talk, "What is the job called?", |text| Ok(text.to_owned()))?;
    }
    if facts.postal_code.is_none() {
        facts.postal_code = ask(input, talk, "1. Where: postal code of the house?", |text| {
            Ok(text.to_owned())
        })?;
    }
    if facts.service.is_none() {
        let question =
            "2. Service rating, such as 150 A (the smallest of main breaker, conductors and meter base)?";
        facts.service = ask(input, talk, question, quantity)?;
    }
    if facts.free_spaces.is_none() && facts.service.is_some() {
        let question = "   Free full-size breaker spaces in the main panel?";
        facts.free_spaces = ask(input, talk, question, |text| {
            text.parse()
                .map_err(|_| format!("`{text}` is not a count from 0 to 65535"))
        })?;
    }
    if facts.unit.is_none() {
        facts.unit = ask(input, talk, "3. Power of the unit, such as 18 kW?", quantity)?;
    }
    if facts.distance.is_none() {
        facts.distance = ask(
            input,
            talk,
            "4. Cable from panel to unit along the real path, such as 80 ft?",
            quantity,
        )?;
    }
    if facts.together.is_empty() {
        let question = "5. What runs together, such as: shower, kitchen-sink?";
        facts.together = ask(input, talk, question, starter::fixture_list)?.unwrap_or_default();
    }
    if facts.today.is_none() {
        let question = "6. What makes hot water today: tank-stays, tank-goes or other?";
        facts.today = ask(input, talk, question, |text| match text {
            "tank-stays" => Ok(Today::TankStays),
            "tank-goes" => Ok(Today::TankGoes),
            "other" => Ok(Today::Other),
            _ => Err(format!("`{text}` is none of tank-stays, tank-goes, other")),
        })?;
    }
    Ok(())
}

fn quantity<T: std::str::FromStr<Err = quantity::ParseError>>(text: &str) -> Result<T, String> {
    text.parse()
        .map_err(|error: quantity::ParseError| error.to_string())
}
