//! The command line: arguments, files, today's date, exit status. Data goes to standard output, talk to standard error.
//!
//! Start at [`main`]; each command has a file of its own. Computes nothing: that is `assess`.

mod ask;
mod assess_command;
mod changeover_command;
mod cli;
mod edition_paper;
mod figures;
mod materials_file;
mod meter_command;
mod meter_paper;
mod new_command;
mod options_command;
mod printing;
mod rule_book;
mod rules_command;
mod starter;
mod status;

use clap::Parser;
use cli::{Cli, Command};
use std::io::{self, BufReader, IsTerminal};
use std::process::ExitCode;

fn main() -> ExitCode {
    let cli = match Cli::try_parse() {
        Ok(cli) => cli,
        Err(error) => {
            // Help and version are answers; anything else is input that cannot be used.
            let code = if error.use_stderr() {
                ExitCode::from(status::UNUSABLE)
            } else {
                ExitCode::SUCCESS
            };
            return error.print().map_or(ExitCode::from(status::UNUSABLE), |()| code);
        }
    };
    let styled = io::stdout().is_terminal() && std::env::var_os("NO_COLOR").is_none();
    let done = match &cli.command {
        Command::Assess(args) => assess_command::run(args, styled, &mut anstream::stdout()),
        Command::Options(args) => {
            options_command::run(args, styled, &mut anstream::stdout()).map(|()| ExitCode::SUCCESS)
        }
        Command::Changeover(args) => changeover_command::run(args, styled, &mut anstream::stdout()),
        Command::Meter(args) => {
            meter_command::run(args, styled, &mut anstream::stdout()).map(|()| ExitCode::SUCCESS)
        }
        Command::New(args) => {
            new_command::run(args, &mut BufReader::new(io::stdin()), &mut anstream::stderr())
                .map(|()| ExitCode::SUCCESS)
        }
        Command::Rules(args) => rules_command::run(args, &mut anstream::stdout()).map(|()| ExitCode::SUCCESS),
    };
    match done {
        Ok(code) => code,
        Err(report) => {
            // Nothing is left to do when even this cannot be written.
            let _ = io::Write::write_fmt(&mut anstream::stderr(), format_args!("{report:?}"));
            ExitCode::from(status::UNUSABLE)
        }
    }
}
