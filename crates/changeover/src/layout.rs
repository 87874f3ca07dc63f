//! The piping as this engine sees it: junctions, what joins them, what turns, what heats, what takes up growth.
//!
//! In: filled by the caller. Start at [`Layout`]. A plain two-way valve is a valve with a handle of its own; a three-way
//! valve with an L port is two valves on one handle, of which each position opens one; ganged valves share a handle too.
//! Knows no size, flow or temperature; volumes only to say how much water stands still.

use crate::ChangeoverError;
use quantity::Volume;

/// Most junctions and most parts of a layout.
pub(crate) const PARTS_MAX: usize = 128;
/// Most sources of a layout.
pub(crate) const SOURCES_MAX: usize = 8;

/// The piping with everything that can be set.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Layout {
    /// Names of the junctions; everything else names them by their place in this list.
    pub junctions: Vec<String>,
    /// Pipes: always open.
    pub pipes: Vec<Pipe>,
    /// Valves: open or closed by their handles.
    pub valves: Vec<Valve>,
    /// Handles: what a person turns.
    pub handles: Vec<Handle>,
    /// Check valves.
    pub checks: Vec<Check>,
    /// Heaters.
    pub sources: Vec<Source>,
    /// Where water enters; all at one pressure.
    pub supplies: Vec<Supply>,
    /// Relief and expansion devices on the pipes.
    pub vents: Vec<Vent>,
    /// Fixtures.
    pub fixtures: Vec<Fixture>,
}

/// A pipe between two junctions.
#[derive(Debug, Clone, PartialEq)]
pub struct Pipe {
    /// Its name.
    pub name: String,
    /// Junction at one end.
    pub from: usize,
    /// Junction at the other end.
    pub to: usize,
    /// Water in it.
    pub volume: Volume,
}

/// A way through a valve.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Valve {
    /// Its tag.
    pub tag: String,
    /// Junction at one end.
    pub from: usize,
    /// Junction at the other end.
    pub to: usize,
}

/// What a person turns: the positions it has, and the valves each of them opens.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Handle {
    /// Its tag.
    pub tag: String,
    /// Its positions.
    pub positions: Vec<Position>,
}

/// One position of a handle.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Position {
    /// What it is called: "open", "closed", "toward the tank".
    pub name: String,
    /// Valves open in it; the other valves of the handle are closed.
    pub open: Vec<usize>,
}

/// A check valve: lets water through from `from` to `to` only.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Check {
    /// Its tag.
    pub tag: String,
    /// Junction the water comes from.
    pub from: usize,
    /// Junction it goes to.
    pub to: usize,
}

/// A heater between its cold and its hot connection.
#[derive(Debug, Clone, PartialEq)]
pub struct Source {
    /// Its name.
    pub name: String,
    /// Junction of its cold connection.
    pub inlet: usize,
    /// Junction of its hot connection.
    pub outlet: usize,
    /// Water in it.
    pub volume: Volume,
    /// A relief device that nothing can shut off from the vessel.
    pub relief_on_vessel: bool,
    /// Another source that an interlock keeps without power while this one has it.
    pub interlocked_with: Option<usize>,
}

/// Where water enters.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Supply {
    /// The junction.
    pub junction: usize,
    /// Water that grows can go back into it: no check valve, backflow device or regulator stands in the way.
    pub takes_back: bool,
}

/// What a device does with water that grows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum VentKind {
    /// Takes it up.
    Expansion,
    /// Lets it out.
    Relief,
}

/// A relief or expansion device on the pipes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Vent {
    /// Its name.
    pub name: String,
    /// The junction it hangs on.
    pub junction: usize,
    /// What it does.
    pub kind: VentKind,
}

/// A fixture on its junctions.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fixture {
    /// Its name.
    pub name: String,
    /// Junction of its hot side.
    pub hot: Option<usize>,
    /// Junction of its cold side.
    pub cold: Option<usize>,
}

impl Handle {
    /// The handle of a two-way valve: open, then closed.
    pub fn two_way(tag: impl Into<String>, valve: usize) -> Self {
        Self {
            tag: tag.into(),
            positions: vec![Position::new("open", [valve]), Position::new("closed", [])],
        }
    }

    /// A handle that opens the valves `first` and closes `second`, or the other way round: a three-way valve with an L
    /// port, or several of them ganged.
    pub fn changes_over(
        tag: impl Into<String>,
        first: impl IntoIterator<Item = usize>,
        second: impl IntoIterator<Item = usize>,
        names: (&str, &str),
    ) -> Self {
        Self {
            tag: tag.into(),
            positions: vec![Position::new(names.0, first), Position::new(names.1, second)],
        }
    }

    /// The valves it turns.
    pub fn valves(&self) -> Vec<usize> {
        let mut valves: Vec<usize> = self.positions.iter().flat_map(|at| at.open.clone()).collect();
        valves.sort_unstable();
        valves.dedup();
        valves
    }
}

impl Position {
    /// A position that opens these valves.
    pub fn new(name: impl Into<String>, open: impl IntoIterator<Item = usize>) -> Self {
        Self {
            name: name.into(),
            open: open.into_iter().collect(),
        }
    }
}

impl Layout {
    /// Adds a junction and gives its place in the list.
    pub fn junction(&mut self, name: impl Into<String>) -> usize {
        self.junctions.push(name.into());
        self.junctions.len() - 1
    }

    /// Adds a pipe.
    pub fn pipe(&mut self, name: impl Into<String>, from: usize, to: usize, volume: Volume) -> usize {
        let name = name.into();
        self.pipes.push(Pipe {
            name,
            from,
            to,
            volume,
        });
        self.pipes.len() - 1
    }

    /// Adds a two-way valve with a handle of its own.
    pub fn two_way_valve(&mut self, tag: &str, from: usize, to: usize) -> usize {
        let valve = self.port(tag, from, to);
        self.handles.push(Handle::two_way(tag, valve));
        valve
    }

    /// Adds a valve that a handle added later turns.
    pub fn port(&mut self, tag: &str, from: usize, to: usize) -> usize {
        let tag = tag.to_owned();
        self.valves.push(Valve { tag, from, to });
        self.valves.len() - 1
    }

    /// Whether everything named exists and each valve has one handle.
    ///
    /// # Errors
    /// The first part that does not fit.
    pub fn check(&self) -> Result<(), ChangeoverError> {
        let n_parts = self.pipes.len() + self.valves.len() + self.checks.len() + self.sources.len();
        limit("junctions", self.junctions.len(), PARTS_MAX)?;
        limit("pipes, valves and sources", n_parts, PARTS_MAX)?;
        limit("sources", self.sources.len(), SOURCES_MAX)?;
        if self.supplies.is_empty() {
            return Err(ChangeoverError::NoSupply);
        }
        self.check_ends()?;
        self.check_handles()
    }

    fn check_ends(&self) -> Result<(), ChangeoverError> {
        let pipes = self.pipes.iter().map(|pipe| (&pipe.name, pipe.from, pipe.to));
        let valves = self.valves.iter().map(|valve| (&valve.tag, valve.from, valve.to));
        let checks = self.checks.iter().map(|check| (&check.tag, check.from, check.to));
        let sources = self.sources.iter();
        let sources = sources.map(|source| (&source.name, source.inlet, source.outlet));
        for (part, from, to) in pipes.chain(valves).chain(checks).chain(sources) {
            if from == to || from.max(to) >= self.junctions.len() {
                return Err(ChangeoverError::Ends { part: part.clone() });
            }
        }
        let fixtures = self.fixtures.iter();
        let singles = fixtures
            .flat_map(|fixture| [(&fixture.name, fixture.hot), (&fixture.name, fixture.cold)])
            .filter_map(|(name, junction)| Some((name.as_str(), junction?)))
            .chain(self.vents.iter().map(|vent| (vent.name.as_str(), vent.junction)))
            .chain(self.supplies.iter().map(|supply| ("supply", supply.junction)));
        for (part, junction) in singles {
            if junction >= self.junctions.len() {
                return Err(ChangeoverError::Ends {
                    part: part.to_owned(),
                });
            }
        }
        let out_of_list =
            |source: &&Source| source.interlocked_with.is_some_and(|at| at >= self.sources.len());
        match self.sources.iter().find(out_of_list) {
            Some(source) => Err(ChangeoverError::Ends {
                part: source.name.clone(),
            }),
            None => Ok(()),
        }
    }

    fn check_handles(&self) -> Result<(), ChangeoverError> {
        let mut n_handles = vec![0; self.valves.len()];
        for handle in &self.handles {
            if !(2..=4).contains(&handle.positions.len()) {
                return Err(ChangeoverError::Positions {
                    handle: handle.tag.clone(),
                    count: handle.positions.len(),
                });
            }
            for valve in handle.valves() {
                *n_handles
                    .get_mut(valve)
                    .ok_or_else(|| ChangeoverError::UnknownValve {
                        handle: handle.tag.clone(),
                    })? += 1;
            }
        }
        match n_handles.iter().position(|count| *count != 1) {
            Some(valve) => Err(ChangeoverError::Handles {
                valve: self.valves[valve].tag.clone(),
                count: n_handles[valve],
            }),
            None => Ok(()),
        }
    }
}

fn limit(what: &'static str, count: usize, most: usize) -> Result<(), ChangeoverError> {
    if count > most {
        return Err(ChangeoverError::TooLarge { what, count, most });
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn small() -> Layout {
        let mut layout = Layout::default();
        let street = layout.junction("street");
        let tap = layout.junction("tap");
        layout.two_way_valve("V1", street, tap);
        layout.supplies.push(Supply {
            junction: street,
            takes_back: true,
        });
        layout
    }

    #[test]
    fn what_does_not_fit_is_named() {
        assert_eq!(small().check(), Ok(()));
        let mut layout = small();
        layout.supplies.clear();
        assert_eq!(layout.check(), Err(ChangeoverError::NoSupply));
        let mut layout = small();
        layout.valves[0].to = 7;
        assert_eq!(layout.check(), Err(ChangeoverError::Ends { part: "V1".into() }));
        let mut layout = small();
        layout.handles.push(Handle::two_way("V2", 0));
        let twice = ChangeoverError::Handles {
            valve: "V1".into(),
            count: 2,
        };
        assert_eq!(layout.check(), Err(twice));
        let mut layout = small();
        layout.handles[0].positions.pop();
        assert!(matches!(
            layout.check(),
            Err(ChangeoverError::Positions { count: 1, .. })
        ));
        let mut layout = small();
        layout.handles.push(Handle::two_way("V9", 9));
        assert!(matches!(
            layout.check(),
            Err(ChangeoverError::UnknownValve { .. })
        ));
    }

    #[test]
    fn a_larger_house_than_fits_is_refused() {
        let mut layout = small();
        for at in 0..200 {
            layout.junction(format!("n{at}"));
        }
        assert!(matches!(
            layout.check(),
            Err(ChangeoverError::TooLarge {
                what: "junctions",
                ..
            })
        ));
    }
}
