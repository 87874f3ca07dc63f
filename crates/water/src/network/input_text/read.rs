//! Reading: sections to a network as it stands at time 0.
//!
//! In: text. Out: [`Imported`]. Start at [`read`].

use super::controls::{Status, at_time_zero, time_s};
use super::sections::{InputTextError, LeftAside, Line, Sections};
use super::units::Units;
use crate::loss_curve::LossCurve;
use crate::network::{
    Device, Fluid, FrictionLaw, LinkId, Network, NetworkError, NodeId, OutletLaw, PipeRun, PumpCurve,
    Regulator, ValveKind,
};
use quantity::{Length, Power, PressureDifference, Ratio, VolumeFlow};
use std::collections::BTreeMap;

/// A network read from text.
#[derive(Debug, Clone, PartialEq)]
pub struct Imported {
    /// The network.
    pub network: Network,
    /// Nodes by name.
    pub nodes: BTreeMap<String, NodeId>,
    /// Pipes, pumps and valves by name.
    pub links: BTreeMap<String, ImportedLink>,
    /// Emitters by the name of their node.
    pub emitters: BTreeMap<String, LinkId>,
    /// What does not bear on the steady flow at time 0.
    pub left_aside: Vec<LeftAside>,
}

/// A link of the text in the network.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ImportedLink {
    /// The link.
    pub id: LinkId,
    /// It runs the other way round: its tank is full or empty, and only one direction is left to it.
    pub reversed: bool,
}

/// Reads a network from the open EPANET input text, as it stands at time 0.
///
/// # Errors
/// [`InputTextError`], with the line.
///
/// ```
/// use water::network::{Solver, input_text::read};
/// let text = "[JUNCTIONS]\n A 0 10\n[RESERVOIRS]\n R 100\n[PIPES]\n P R A 1000 6 100\n[OPTIONS]\n Units GPM\n Headloss H-W\n";
/// let imported = read(text)?;
/// let mut solver = Solver::new(&imported.network);
/// let solution = solver.solve()?;
/// // All that is taken comes through the one pipe; the peer's gallon is rounded in its sixth digit.
/// assert!((solution.flow(imported.links["P"].id).as_gallons_per_minute() - 10.0).abs() < 1e-5);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn read(text: &str) -> Result<Imported, InputTextError> {
    let sections = Sections::of(text)?;
    let options = Options::of(&sections)?;
    let fluid = options.units.fluid().map_err(|source| InputTextError::Refused {
        line: options.line,
        source: NetworkError::Value {
            element: "OPTIONS".into(),
            source,
        },
    })?;
    let mut reader = Reader {
        imported: Imported {
            network: Network::new(options.friction, fluid),
            nodes: BTreeMap::new(),
            links: BTreeMap::new(),
            emitters: BTreeMap::new(),
            left_aside: sections.left_aside.clone(),
        },
        patterns: patterns(&sections)?,
        curves: curves(&sections)?,
        levels: BTreeMap::new(),
        stuck: BTreeMap::new(),
        statuses: BTreeMap::new(),
        options,
        fluid,
    };
    reader.nodes(&sections)?;
    let levels = std::mem::take(&mut reader.levels);
    let level = |name: &str| levels.get(name).copied();
    reader.statuses = at_time_zero(&sections, level, &mut reader.imported.left_aside)?;
    reader.pipes(&sections)?;
    reader.pumps(&sections)?;
    reader.valves(&sections)?;
    reader.emitters(&sections)?;
    Ok(reader.imported)
}

struct Options {
    units: Units,
    friction: FrictionLaw,
    demand_multiplier: f64,
    default_pattern: String,
    emitter_exponent: f64,
    line: usize,
}

impl Options {
    fn of(sections: &Sections<'_>) -> Result<Self, InputTextError> {
        let (mut flow, mut gravity, mut viscosity) = ("GPM", 1.0, 1.0);
        let mut options = Self {
            units: Units::gallons(),
            friction: FrictionLaw::HazenWilliams,
            demand_multiplier: 1.0,
            default_pattern: "1".into(),
            emitter_exponent: 0.5,
            line: 0,
        };
        for line in sections.lines("OPTIONS") {
            let key = line.words[0].to_ascii_uppercase();
            options.line = line.number;
            match key.as_str() {
                "UNITS" => flow = line.word(1, "OPTIONS", "unit of flow")?,
                "HEADLOSS" => {
                    options.friction = match line.word(1, "OPTIONS", "law")?.to_ascii_uppercase().as_str() {
                        "H-W" => FrictionLaw::HazenWilliams,
                        "D-W" => FrictionLaw::Epanet,
                        other => {
                            return Err(unsupported(line, format!("head loss law {other}"), "D-W or H-W"));
                        }
                    };
                }
                "SPECIFIC" => gravity = line.number(2, "OPTIONS", "specific gravity")?,
                "VISCOSITY" => viscosity = line.number(1, "OPTIONS", "viscosity")?,
                "DEMAND" if line.is(1, "MULTIPLIER") => {
                    options.demand_multiplier = line.number(2, "OPTIONS", "multiplier")?;
                }
                "DEMAND" if line.is(1, "MODEL") && !line.is(2, "DDA") => {
                    return Err(unsupported(line, "pressure-driven demand".into(), "emitters"));
                }
                "PATTERN" => line
                    .word(1, "OPTIONS", "pattern")?
                    .clone_into(&mut options.default_pattern),
                "EMITTER" if line.is(1, "EXPONENT") => {
                    options.emitter_exponent = line.number(2, "OPTIONS", "exponent")?;
                }
                "HYDRAULICS" => {
                    return Err(unsupported(line, "a stored hydraulics file".into(), "nothing"));
                }
                // Trials, accuracy, quality and the like steer the other engine's search.
                _ => {}
            }
        }
        let line = options.line;
        options.units = Units::of(flow, gravity, viscosity).ok_or_else(|| InputTextError::UnknownName {
            line,
            what: "unit of flow",
            name: flow.to_owned(),
        })?;
        Ok(options)
    }
}

fn unsupported(line: &Line<'_>, what: String, instead: &'static str) -> InputTextError {
    InputTextError::Unsupported {
        line: line.number,
        what,
        instead,
    }
}

/// Multipliers at time 0 by pattern.
fn patterns(sections: &Sections<'_>) -> Result<BTreeMap<String, f64>, InputTextError> {
    let mut values: BTreeMap<String, Vec<f64>> = BTreeMap::new();
    for line in sections.lines("PATTERNS") {
        let of = values.entry(line.words[0].to_owned()).or_default();
        for word in &line.words[1..] {
            of.push(line.to_number(word, "a multiplier")?);
        }
    }
    let time = |name: &str| {
        let line = sections
            .lines("TIMES")
            .iter()
            .find(|line| line.is(0, "PATTERN") && line.is(1, name))?;
        time_s(line.words.get(2)?, line.words.get(3).copied())
    };
    let step_s = time("TIMESTEP").unwrap_or(3600.0).max(1.0);
    let start_s = time("START").unwrap_or(0.0);
    // A start of thousands of steps still fits a count of steps.
    let steps = (start_s / step_s).floor().clamp(0.0, 1e9);
    Ok(values
        .into_iter()
        .map(|(name, values)| {
            let at = (0..values.len()).find(|at| (steps - *at as f64).rem_euclid(values.len() as f64) < 0.5);
            let value = at.and_then(|at| values.get(at)).copied().unwrap_or(1.0);
            (name, value)
        })
        .collect())
}

type Curves = BTreeMap<String, Vec<(f64, f64)>>;

fn curves(sections: &Sections<'_>) -> Result<Curves, InputTextError> {
    let mut curves = Curves::new();
    for line in sections.lines("CURVES") {
        let point = (line.number(1, "CURVES", "x")?, line.number(2, "CURVES", "y")?);
        curves.entry(line.words[0].to_owned()).or_default().push(point);
    }
    Ok(curves)
}

/// What a tank's level leaves to its links.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Stuck {
    Full,
    Empty,
}

struct Reader {
    imported: Imported,
    options: Options,
    fluid: Fluid,
    patterns: BTreeMap<String, f64>,
    curves: Curves,
    levels: BTreeMap<String, f64>,
    stuck: BTreeMap<String, Stuck>,
    statuses: BTreeMap<String, Status>,
}

impl Reader {
    fn nodes(&mut self, sections: &Sections<'_>) -> Result<(), InputTextError> {
        let mut listed: BTreeMap<&str, f64> = BTreeMap::new();
        for line in sections.lines("DEMANDS") {
            let pattern = self.multiplier(line, line.words.get(2).copied(), true)?;
            *listed.entry(line.words[0]).or_default() += line.number(1, "DEMANDS", "demand")? * pattern;
        }
        for line in sections.lines("JUNCTIONS") {
            let name = line.words[0];
            let base = line.number_or(2, "the demand", 0.0)?;
            let pattern = self.multiplier(line, line.words.get(3).copied(), true)?;
            let demand = listed.remove(name).unwrap_or(base * pattern) * self.options.demand_multiplier;
            let elevation = self
                .options
                .units
                .length(line.number_or(1, "the elevation", 0.0)?);
            let demand = self.options.units.flow(demand);
            let id = self.imported.network.junction(name, elevation, demand);
            self.keep_node(line, id)?;
        }
        if let Some(name) = listed.keys().next() {
            let line = sections
                .lines("DEMANDS")
                .iter()
                .find(|line| line.words[0] == *name);
            return Err(InputTextError::UnknownName {
                line: line.map_or(0, |line| line.number),
                what: "junction",
                name: (*name).to_owned(),
            });
        }
        for line in sections.lines("RESERVOIRS") {
            let head = line.number(1, "RESERVOIRS", "head")?;
            let head = head * self.multiplier(line, line.words.get(2).copied(), false)?;
            let elevation = self.options.units.length(head);
            let id = self
                .imported
                .network
                .supply(line.words[0], elevation, self.options.units.of_head(0.0));
            self.keep_node(line, id)?;
        }
        for line in sections.lines("TANKS") {
            let elevation = self.options.units.length(line.number(1, "TANKS", "elevation")?);
            let level = line.number_or(2, "the level", 0.0)?;
            let (least, most) = (
                line.number_or(3, "the least level", 0.0)?,
                line.number_or(4, "the greatest level", f64::MAX)?,
            );
            let overflows = line.is(8, "YES");
            let name = line.words[0];
            self.levels.insert(name.to_owned(), level);
            if level >= most && !overflows {
                self.stuck.insert(name.to_owned(), Stuck::Full);
            } else if level <= least {
                self.stuck.insert(name.to_owned(), Stuck::Empty);
            }
            let id = self
                .imported
                .network
                .supply(name, elevation, self.options.units.of_head(level));
            self.keep_node(line, id)?;
        }
        Ok(())
    }

    fn keep_node(&mut self, line: &Line<'_>, id: Result<NodeId, NetworkError>) -> Result<(), InputTextError> {
        let id = id.map_err(|source| refused(line, source))?;
        if self.imported.nodes.insert(line.words[0].to_owned(), id).is_some() {
            return Err(twice(line, "node"));
        }
        Ok(())
    }

    /// The multiplier at time 0 of a pattern, or of the default one where none is named.
    fn multiplier(&self, line: &Line<'_>, name: Option<&str>, demand: bool) -> Result<f64, InputTextError> {
        match name {
            Some(name) => self
                .patterns
                .get(name)
                .copied()
                .ok_or_else(|| InputTextError::UnknownName {
                    line: line.number,
                    what: "pattern",
                    name: name.to_owned(),
                }),
            None if demand => Ok(self
                .patterns
                .get(&self.options.default_pattern)
                .copied()
                .unwrap_or(1.0)),
            None => Ok(1.0),
        }
    }

    fn node(&self, line: &Line<'_>, at: usize, section: &'static str) -> Result<NodeId, InputTextError> {
        let name = line.word(at, section, "node")?;
        self.imported
            .nodes
            .get(name)
            .copied()
            .ok_or_else(|| InputTextError::UnknownName {
                line: line.number,
                what: "node",
                name: name.to_owned(),
            })
    }

    fn curve(&self, line: &Line<'_>, name: &str) -> Result<&[(f64, f64)], InputTextError> {
        self.curves
            .get(name)
            .map(Vec::as_slice)
            .ok_or_else(|| InputTextError::UnknownName {
                line: line.number,
                what: "curve",
                name: name.to_owned(),
            })
    }

    fn keep_link(
        &mut self,
        line: &Line<'_>,
        section: &'static str,
        device: Device,
        closed: bool,
        reversed: bool,
    ) -> Result<(), InputTextError> {
        let name = line.words[0];
        let (mut from, mut to) = (self.node(line, 1, section)?, self.node(line, 2, section)?);
        if reversed {
            (from, to) = (to, from);
        }
        let network = &mut self.imported.network;
        let id = network
            .link(name, from, to, self.fluid, device)
            .and_then(|id| network.close(id, closed).map(|()| id))
            .map_err(|source| refused(line, source))?;
        let link = ImportedLink { id, reversed };
        if self.imported.links.insert(name.to_owned(), link).is_some() {
            return Err(twice(line, "link"));
        }
        Ok(())
    }

    fn pipes(&mut self, sections: &Sections<'_>) -> Result<(), InputTextError> {
        for line in sections.lines("PIPES") {
            let units = self.options.units;
            let roughness = line.number(5, "PIPES", "roughness")?;
            let roughness = if self.options.friction == FrictionLaw::HazenWilliams {
                roughness
            } else {
                roughness * units.roughness_m
            };
            // The seventh word is the sum of K or, where that is left out, the status.
            let status = line.words.get(7).or(line.words.get(6)).copied().unwrap_or("OPEN");
            let is_status =
                |word: &str| ["OPEN", "CLOSED", "CV"].contains(&word.to_ascii_uppercase().as_str());
            let loss_coefficient = match line.words.get(6) {
                Some(word) if !is_status(word) => line.to_number(word, "the loss coefficient")?,
                _ => 0.0,
            };
            let mut run = PipeRun {
                length: units.length(line.number(3, "PIPES", "length")?),
                inside_diameter: units.diameter(line.number(4, "PIPES", "diameter")?),
                roughness: Length::from_meters(roughness),
                loss_coefficient,
                check: status.eq_ignore_ascii_case("CV"),
            };
            let closed = match self.statuses.get(line.words[0]) {
                Some(_) if run.check => false,
                Some(Status::Closed) => true,
                Some(_) => false,
                None => status.eq_ignore_ascii_case("CLOSED"),
            };
            let stuck = |at: usize| line.words.get(at).and_then(|name| self.stuck.get(*name)).copied();
            let reversed = match (stuck(1), stuck(2)) {
                (Some(Stuck::Full), None) | (None, Some(Stuck::Empty)) => Some(false),
                (Some(Stuck::Empty), None) | (None, Some(Stuck::Full)) => Some(true),
                _ => None,
            };
            let reversed = reversed.filter(|_| !run.check);
            run.check |= reversed.is_some();
            self.keep_link(
                line,
                "PIPES",
                Device::Pipe(run),
                closed,
                reversed.unwrap_or(false),
            )?;
        }
        Ok(())
    }

    fn pumps(&mut self, sections: &Sections<'_>) -> Result<(), InputTextError> {
        for line in sections.lines("PUMPS") {
            let (mut curve, mut speed, mut pattern) = (None, 1.0, 1.0);
            for pair in line.words.get(3..).unwrap_or_default().chunks(2) {
                let [key, value] = *pair else {
                    return Err(InputTextError::Missing {
                        line: line.number,
                        section: "PUMPS",
                        missing: "value of the last word",
                    });
                };
                match key.to_ascii_uppercase().as_str() {
                    "HEAD" => curve = Some(self.pump_curve(line, value)?),
                    "POWER" => {
                        let power = line.to_number(value, "the power")? * self.options.units.power_w;
                        curve = Some(
                            PumpCurve::of_power(Power::from_watts(power))
                                .map_err(|source| value_of(line, source))?,
                        );
                    }
                    "SPEED" => speed = line.to_number(value, "the speed")?,
                    "PATTERN" => pattern = self.multiplier(line, Some(value), false)?,
                    other => {
                        return Err(unsupported(
                            line,
                            format!("pump keyword {other}"),
                            "HEAD, POWER or SPEED",
                        ));
                    }
                }
            }
            let curve = curve.ok_or(InputTextError::Missing {
                line: line.number,
                section: "PUMPS",
                missing: "HEAD curve or POWER",
            })?;
            let status = self.statuses.get(line.words[0]).copied();
            if let Some(Status::Setting(setting)) = status {
                speed = setting;
            }
            let speed = speed * pattern;
            let closed = status == Some(Status::Closed) || speed <= 0.0;
            let curve = if closed {
                curve
            } else {
                curve.at_speed(speed).map_err(|source| value_of(line, source))?
            };
            self.keep_link(line, "PUMPS", Device::Pump(curve), closed, false)?;
        }
        Ok(())
    }

    fn pump_curve(&self, line: &Line<'_>, name: &str) -> Result<PumpCurve, InputTextError> {
        let units = self.options.units;
        let points: Vec<_> = self
            .curve(line, name)?
            .iter()
            .map(|(flow, head)| {
                let gain = PressureDifference::from_pascals(units.of_head(*head).as_pascals());
                (units.flow(*flow), gain)
            })
            .collect();
        PumpCurve::through(&points).map_err(|source| value_of(line, source))
    }

    fn loss_curve(&self, line: &Line<'_>, name: &str) -> Result<LossCurve, InputTextError> {
        let units = self.options.units;
        let points: Vec<_> = self
            .curve(line, name)?
            .iter()
            .map(|(flow, head)| {
                let loss = PressureDifference::from_pascals(units.of_head(*head).as_pascals());
                (units.flow(*flow), loss)
            })
            .collect();
        LossCurve::through(&points).map_err(|source| value_of(line, source))
    }

    fn valves(&mut self, sections: &Sections<'_>) -> Result<(), InputTextError> {
        for line in sections.lines("VALVES") {
            let units = self.options.units;
            let inside_diameter = units.diameter(line.number(3, "VALVES", "diameter")?);
            let kind = line.word(4, "VALVES", "type")?.to_ascii_uppercase();
            let mut setting = if kind == "GPV" {
                0.0
            } else {
                line.number_or(5, "the setting", 0.0)?
            };
            let minor = line.number_or(6, "the loss coefficient", 0.0)?;
            let status = self.statuses.get(line.words[0]).copied();
            if let Some(Status::Setting(to)) = status {
                setting = to;
            }
            let open = |k: f64| Device::Valve {
                kind: ValveKind::Gate,
                inside_diameter,
                open_coefficient: k,
                opening: Ratio::from_fraction(1.0),
            };
            let device = match kind.as_str() {
                _ if status == Some(Status::Open) => open(minor),
                "TCV" => open(setting.max(minor)),
                "FCV" => Device::FlowLimit {
                    flow: units.flow(setting),
                    inside_diameter,
                    open_coefficient: minor,
                },
                "PRV" => Device::Regulator(Regulator {
                    set_pressure: units.pressure(setting),
                    fall_off: None,
                    open_loss: open_loss(minor, inside_diameter, self.fluid),
                }),
                "GPV" => Device::Loss(self.loss_curve(line, line.word(5, "VALVES", "curve")?)?),
                other => {
                    return Err(unsupported(
                        line,
                        format!("valve type {other}"),
                        "TCV, PRV, FCV or GPV",
                    ));
                }
            };
            self.keep_link(line, "VALVES", device, status == Some(Status::Closed), false)?;
        }
        Ok(())
    }

    fn emitters(&mut self, sections: &Sections<'_>) -> Result<(), InputTextError> {
        for line in sections.lines("EMITTERS") {
            let node = self.node(line, 0, "EMITTERS")?;
            let coefficient = line.number(1, "EMITTERS", "coefficient")?;
            if coefficient == 0.0 {
                continue;
            }
            let law = OutletLaw::Emitter {
                flow: self.options.units.flow(coefficient),
                pressure: self.options.units.pressure(1.0),
                exponent: self.options.emitter_exponent,
            };
            let id = self
                .imported
                .network
                .outlet(line.words[0], node, law)
                .map_err(|source| refused(line, source))?;
            if self
                .imported
                .emitters
                .insert(line.words[0].to_owned(), id)
                .is_some()
            {
                return Err(twice(line, "emitter"));
            }
        }
        Ok(())
    }
}

/// A point of the square law K·ρv²/2: at a velocity of 1 m/s.
fn open_loss(k: f64, bore: Length, fluid: Fluid) -> (VolumeFlow, PressureDifference) {
    let area_m2 = std::f64::consts::FRAC_PI_4 * bore.as_meters() * bore.as_meters();
    (
        VolumeFlow::from_cubic_meters_per_second(area_m2),
        PressureDifference::from_pascals(0.5 * k * fluid.density().as_kilograms_per_cubic_meter()),
    )
}

fn refused(line: &Line<'_>, source: NetworkError) -> InputTextError {
    InputTextError::Refused {
        line: line.number,
        source,
    }
}

fn value_of(line: &Line<'_>, source: crate::WaterError) -> InputTextError {
    refused(
        line,
        NetworkError::Value {
            element: line.words[0].to_owned(),
            source,
        },
    )
}

fn twice(line: &Line<'_>, what: &'static str) -> InputTextError {
    InputTextError::Twice {
        line: line.number,
        what,
        name: line.words[0].to_owned(),
    }
}
