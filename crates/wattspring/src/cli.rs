//! The words of the command line: commands and options, nothing of what they do.

use clap::{Args, Parser, Subcommand, ValueEnum};
use quantity::{Current, GaugePressure, Length, Power, Voltage};
use std::path::PathBuf;

/// One job record for adding an electric on-demand water heater to an existing house, and the hydraulics, heat,
/// electrical and rule checks worked out behind it.
///
/// Nothing printed here says that work may be done or that a design is allowed: the authority having jurisdiction, the
/// manufacturer's instructions and licensed practice decide.
#[derive(Debug, Parser)]
#[command(name = "wattspring", version, max_term_width = 80)]
pub(crate) struct Cli {
    #[command(subcommand)]
    pub(crate) command: Command,
}

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Work out a job record: a report, and an exit status by its worst finding.
    #[command(
        after_help = "Exit status: 0 nothing worse than `note`; 1 `judge`, `change` or `unknown`; 2 `stop`; 3 the input cannot be used."
    )]
    Assess(AssessArgs),
    /// Try other units in a job record: what each gives, which no other beats, what rejects the rest.
    #[command(
        after_help = "Exit status: 0 the table was printed; 3 the input cannot be used, or has no proposed on-demand unit."
    )]
    Options(OptionsArgs),
    /// Work out the change-over between the heaters of a job: states, hazards, orders of moves, the card for the valves.
    #[command(
        after_help = "Exit status: 0 nothing worse than `note`; 1 `judge`, `change` or `unknown`; 2 `stop`; 3 the input cannot be used."
    )]
    Changeover(ChangeoverArgs),
    /// Read a meter file (Green Button or CSV): its quality, its maximum demand, charts; with a job, the heater laid over it.
    #[command(after_help = "Exit status: 0 the report was printed; 3 the file or the record cannot be used.")]
    Meter(MeterArgs),
    /// Write a commented starter record from six facts, asking for those not given.
    New(NewArgs),
    /// List, search and explain the rules with their sources.
    Rules(RulesArgs),
}

#[derive(Debug, Args)]
pub(crate) struct AssessArgs {
    /// The job record (`*.job.toml`), or `-` for standard input.
    pub(crate) job: PathBuf,
    /// How to print.
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub(crate) format: Format,
    /// Also write the report (PDF, HTML) and its drawings into this folder.
    #[arg(long, value_name = "DIR")]
    pub(crate) out: Option<PathBuf>,
    #[command(flatten)]
    pub(crate) book: BookArgs,
    /// Say what changes between two editions, such as `2017,2023`, instead of the report.
    #[arg(long, value_name = "FIRST,SECOND", num_args = 1, conflicts_with_all = ["out", "all"])]
    pub(crate) compare: Option<String>,
    /// Date printed on papers instead of today's (YYYY-MM-DD).
    #[arg(long, value_name = "DATE")]
    pub(crate) date: Option<jiff::civil::Date>,
    /// Also print the rules whose requirement is met, with their working.
    #[arg(long)]
    pub(crate) all: bool,
}

/// Which rules are applied.
#[derive(Debug, Clone, Args)]
pub(crate) struct BookArgs {
    /// Code edition to apply instead of the record's, such as `2023` or `upc-2021`; once for each code.
    #[arg(long = "edition", value_name = "NAME")]
    pub(crate) editions: Vec<String>,
    /// A file of local rules, editions or amendments on top of the published rule book.
    #[arg(long = "local", value_name = "FILE")]
    pub(crate) local: Vec<PathBuf>,
}

#[derive(Debug, Args)]
pub(crate) struct OptionsArgs {
    /// The job record (`*.job.toml`), or `-` for standard input.
    pub(crate) job: PathBuf,
    #[command(flatten)]
    pub(crate) book: BookArgs,
    /// Date printed instead of today's (YYYY-MM-DD).
    #[arg(long, value_name = "DATE")]
    pub(crate) date: Option<jiff::civil::Date>,
}

#[derive(Debug, Args)]
pub(crate) struct ChangeoverArgs {
    /// The job record (`*.job.toml`), or `-` for standard input.
    pub(crate) job: PathBuf,
    /// How to print.
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub(crate) format: Format,
    /// Print the card for the valves instead of the report.
    #[arg(long)]
    pub(crate) card: bool,
    /// Also write report and card (PDF, HTML), a drawing of each mode and the JSON into this folder.
    #[arg(long, value_name = "DIR")]
    pub(crate) out: Option<PathBuf>,
    /// Date printed on papers instead of today's (YYYY-MM-DD).
    #[arg(long, value_name = "DATE")]
    pub(crate) date: Option<jiff::civil::Date>,
}

#[derive(Debug, Args)]
pub(crate) struct MeterArgs {
    /// The meter file: Green Button (XML) or CSV, or `-` for standard input. Not needed with a job that names one.
    #[arg(required_unless_present = "job")]
    pub(crate) file: Option<PathBuf>,
    /// Lay the proposed units of this job record over the measured demand.
    #[arg(long, value_name = "JOB")]
    pub(crate) job: Option<PathBuf>,
    /// How to print.
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub(crate) format: Format,
    /// Also write the report (HTML), its charts and its JSON into this folder.
    #[arg(long, value_name = "DIR")]
    pub(crate) out: Option<PathBuf>,
    /// Usage point, where the file has several.
    #[arg(long, value_name = "NAME")]
    pub(crate) point: Option<String>,
    /// Zone of the house, such as America/Chicago; CSV files with local times need it.
    #[arg(long, value_name = "ZONE")]
    pub(crate) zone: Option<String>,
    /// Unit of the values of a CSV file, such as kWh.
    #[arg(long, value_name = "UNIT")]
    pub(crate) unit: Option<String>,
    /// Heading of the column with the start.
    #[arg(long, value_name = "HEADING")]
    pub(crate) start: Option<String>,
    /// Heading of the column with the time of day, where it stands apart from the date.
    #[arg(long, value_name = "HEADING")]
    pub(crate) time: Option<String>,
    /// Heading of the column with the end.
    #[arg(long, value_name = "HEADING")]
    pub(crate) end: Option<String>,
    /// Heading of the column with the value.
    #[arg(long, value_name = "HEADING")]
    pub(crate) value: Option<String>,
    /// Dates with slashes have the day first.
    #[arg(long)]
    pub(crate) day_first: bool,
    /// Simulated years.
    #[arg(long, value_name = "COUNT", default_value_t = 200)]
    pub(crate) years: u32,
    /// The same number gives the same simulated years.
    #[arg(long, value_name = "NUMBER", default_value_t = 1)]
    pub(crate) seed: u64,
    /// People in the house.
    #[arg(long, value_name = "COUNT")]
    pub(crate) people: Option<u16>,
    /// Date printed instead of today's (YYYY-MM-DD).
    #[arg(long, value_name = "DATE")]
    pub(crate) date: Option<jiff::civil::Date>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Format {
    /// A report of 80 columns.
    Text,
    /// JSON for machines, by a schema in docs/schema/.
    Json,
}

#[derive(Debug, Args)]
pub(crate) struct NewArgs {
    /// File to write; an existing one is never overwritten.
    pub(crate) file: PathBuf,
    /// What the job is called.
    #[arg(long)]
    pub(crate) title: Option<String>,
    /// Postal code of the house, for its climate.
    #[arg(long)]
    pub(crate) postal_code: Option<String>,
    /// Service rating, such as "150 A".
    #[arg(long, value_name = "CURRENT")]
    pub(crate) service: Option<Current>,
    /// Free full-size breaker spaces in the main panel.
    #[arg(long, value_name = "COUNT")]
    pub(crate) free_spaces: Option<u16>,
    /// Power of the unit, such as "18 kW".
    #[arg(long, value_name = "POWER")]
    pub(crate) unit: Option<Power>,
    /// Element circuits of the unit.
    #[arg(long, value_name = "COUNT")]
    pub(crate) circuits: Option<u16>,
    /// Voltage the unit is rated at.
    #[arg(long, value_name = "VOLTAGE", default_value = "240 V")]
    pub(crate) unit_voltage: Voltage,
    /// Length of the cable from panel to unit, along the real path.
    #[arg(long, value_name = "LENGTH")]
    pub(crate) distance: Option<Length>,
    /// Fixtures that run together, such as "shower, kitchen-sink".
    #[arg(long, value_name = "LIST")]
    pub(crate) together: Option<String>,
    /// What makes hot water today.
    #[arg(long, value_enum)]
    pub(crate) today: Option<Today>,
    /// Water pressure with nothing running.
    #[arg(long, value_name = "PRESSURE")]
    pub(crate) pressure: Option<GaugePressure>,
    /// Ask nothing; leave out what is not given.
    #[arg(long)]
    pub(crate) no_questions: bool,
}

/// What makes hot water today.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Today {
    /// An electric storage tank that stays as second source.
    TankStays,
    /// An electric storage tank that is taken out.
    TankGoes,
    /// Something that is not electric, or nothing.
    Other,
}

#[derive(Debug, Args)]
pub(crate) struct RulesArgs {
    /// Words to search for, or the id of one rule to explain.
    pub(crate) words: Vec<String>,
    /// Only rules of this area, such as `grounding`; a word that is no area lists them.
    #[arg(long)]
    pub(crate) area: Option<String>,
    /// Only rules that hold in this edition, such as `2020`.
    #[arg(long, value_name = "NAME")]
    pub(crate) edition: Option<String>,
    /// Only rules read this surely.
    #[arg(long, value_enum)]
    pub(crate) status: Option<Status>,
    /// A file of local rules, editions or amendments on top of the published rule book.
    #[arg(long = "local", value_name = "FILE")]
    pub(crate) local: Vec<PathBuf>,
}

/// How surely a rule was read in its source.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Status {
    /// Seen in the source, or in a page quoting it.
    Seen,
    /// From memory.
    Memory,
    /// Trade habit, no source.
    CommonPractice,
    /// Worked out from facts with sources of their own.
    Computed,
}

impl From<Status> for trace::SourceStatus {
    fn from(status: Status) -> Self {
        match status {
            Status::Seen => Self::Seen,
            Status::Memory => Self::Memory,
            Status::CommonPractice => Self::CommonPractice,
            Status::Computed => Self::Computed,
        }
    }
}
