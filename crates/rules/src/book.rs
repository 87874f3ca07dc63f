//! The rule book: rules, facts, editions and cautions, to list, search and choose from.
//!
//! Start at [`RuleBook::embedded`]; [`RuleBook::load`] adds local files. The book is plain data once loaded; applying it
//! to a subject is in `assess`, describing a rule in `explain`.

use crate::editions::{Edition, EditionError, Editions};
use crate::embedded::FILES;
use crate::fact_set::FactSet;
use crate::load;
use crate::problem::RuleFileProblem;
use crate::rule::Rule;
use crate::template::ForReaders;
use crate::vocabulary::{Area, Vocabulary};
use quantity::UnitSystem;
use std::collections::BTreeMap;
use std::sync::LazyLock;

/// All rules, with the vocabulary they are written in.
#[derive(Debug, Clone, Default)]
pub struct RuleBook {
    pub(crate) vocabulary: Vocabulary,
    pub(crate) editions: Vec<Edition>,
    pub(crate) areas: Vec<Area>,
    pub(crate) cautions: BTreeMap<String, ForReaders>,
    pub(crate) rules: Vec<Rule>,
}

impl RuleBook {
    /// The book as published with the program.
    ///
    /// ```
    /// use quantity::{GaugePressure, UnitSystem};
    /// use trace::{Origin, Severity};
    /// let book = rules::RuleBook::embedded();
    /// let editions = book.choose(["NEC 2020", "IPC 2021"])?;
    /// let mut water = book.facts("water", "house main");
    /// water.set("water.static_pressure", GaugePressure::from_psi(95.0), Origin::Measured)?;
    /// let findings = book.assess(&editions, &water, UnitSystem::Us);
    /// let pressure = findings.iter().find(|finding| finding.rule == "water.static-pressure").unwrap();
    /// assert_eq!(pressure.severity, Severity::Change);
    /// assert_eq!(pressure.working.result, "95 psi > 80 psi, 15 psi over");
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    ///
    /// # Panics
    /// Never for a released program: a test loads the same files.
    pub fn embedded() -> &'static Self {
        static BOOK: LazyLock<RuleBook> = LazyLock::new(|| {
            load::load(RuleBook::default(), FILES.iter().copied())
                .unwrap_or_else(|problems| panic!("embedded rule files: {problems:#?}"))
        });
        &BOOK
    }

    /// The published book with local files on top: rules and editions of their own, and amendments of published rules.
    ///
    /// # Errors
    /// Everything that is wrong with the files, with file, line and reason; then none of them is used.
    pub fn load<'t>(
        files: impl IntoIterator<Item = (&'t str, &'t str)>,
    ) -> Result<Self, Vec<RuleFileProblem>> {
        load::load(Self::embedded().clone(), files)
    }

    /// The rules, in the order of their files.
    pub fn rules(&self) -> &[Rule] {
        &self.rules
    }

    /// The rule with this id.
    pub fn rule(&self, id: &str) -> Option<&Rule> {
        self.rules.iter().find(|rule| rule.id == id)
    }

    /// The facts rules may ask for.
    pub fn vocabulary(&self) -> &Vocabulary {
        &self.vocabulary
    }

    /// All editions the book knows.
    pub fn editions(&self) -> &[Edition] {
        &self.editions
    }

    /// The areas rules belong to, in the order of their file.
    pub fn areas(&self) -> &[Area] {
        &self.areas
    }

    /// The edition called `name` and those it follows, nearest first; each once.
    pub fn lineage(&self, name: &str) -> Vec<&str> {
        let mut line: Vec<&str> = Vec::new();
        let mut next = self.edition(name);
        while let Some(edition) = next.filter(|edition| !line.contains(&edition.name.as_str())) {
            line.push(&edition.name);
            next = edition.follows.as_deref().and_then(|name| self.edition(name));
        }
        line
    }

    /// Chooses the editions in force for a job, at most one of each family.
    ///
    /// # Errors
    /// When the book does not have one of them, or two are of one family.
    pub fn choose<'n>(&self, names: impl IntoIterator<Item = &'n str>) -> Result<Editions, EditionError> {
        let mut chosen: Vec<&Edition> = Vec::new();
        for name in names {
            let edition = self.edition(name).ok_or_else(|| self.unknown_edition(name))?;
            if let Some(other) = chosen.iter().find(|other| other.family == edition.family) {
                return Err(EditionError::Two {
                    first: other.name.clone(),
                    second: edition.name.clone(),
                });
            }
            chosen.push(edition);
        }
        Ok(Editions {
            chosen: chosen.into_iter().map(|edition| edition.name.clone()).collect(),
        })
    }

    /// The edition a person means by `written`: its name in any spelling of case, spaces and hyphens, or its year alone
    /// when only one has it.
    ///
    /// # Errors
    /// When there is none, or more than one.
    pub fn find_edition(&self, written: &str) -> Result<&Edition, EditionError> {
        let plain = |text: &str| -> String {
            let letters = text.chars().filter(|c| c.is_alphanumeric());
            letters.flat_map(char::to_lowercase).collect()
        };
        let wanted = plain(written);
        let to_choose = || self.editions.iter().filter(|edition| !edition.always);
        if let Some(edition) = to_choose().find(|edition| plain(&edition.name) == wanted) {
            return Ok(edition);
        }
        let of_year: Vec<&Edition> = to_choose()
            .filter(|edition| edition.year.as_ref().is_some_and(|year| plain(year) == wanted))
            .collect();
        match of_year.as_slice() {
            [] => Err(self.unknown_edition(written)),
            [one] => Ok(one),
            several => Err(EditionError::Several {
                name: written.to_owned(),
                fitting: names(several.iter().copied(), " or "),
            }),
        }
    }

    fn unknown_edition(&self, name: &str) -> EditionError {
        EditionError::Unknown {
            name: name.to_owned(),
            known: names(self.editions.iter().filter(|edition| !edition.always), ", "),
        }
    }

    /// An empty set of facts about one subject, to be filled and handed to [`RuleBook::assess`].
    pub fn facts(&self, scope: &str, subject: &str) -> FactSet<'_> {
        FactSet::new(&self.vocabulary, scope, subject)
    }

    /// The rules that speak of all these words (in id, title, texts, articles or facts), the nearest first.
    pub fn search(&self, words: &str) -> Vec<&Rule> {
        let words: Vec<String> = words.split_whitespace().map(str::to_lowercase).collect();
        let mut found: Vec<(usize, &Rule)> = self
            .rules
            .iter()
            .filter_map(|rule| self.nearness(rule, &words).map(|far| (far, rule)))
            .collect();
        found.sort_by_key(|(far, _)| *far);
        found.into_iter().map(|(_, rule)| rule).collect()
    }

    pub(crate) fn edition(&self, name: &str) -> Option<&Edition> {
        self.editions.iter().find(|edition| edition.name == name)
    }

    /// How far the rule is from the words: 0 when all stand in id and title; none when one stands nowhere.
    fn nearness(&self, rule: &Rule, words: &[String]) -> Option<usize> {
        let title = rule.title(UnitSystem::Us);
        let head = format!("{} {title} {}", rule.id, rule.area).to_lowercase();
        let mut body = format!(
            "{} {} {} {}",
            rule.text.met, rule.text.unmet, rule.text.why, rule.text.remedy
        );
        for basis in &rule.basis {
            for text in basis.editions.iter().chain(&basis.place).chain(&basis.document) {
                body.push(' ');
                body.push_str(text);
            }
        }
        for fact in rule.facts() {
            let fact = &self.vocabulary.facts()[fact];
            body.push(' ');
            body.push_str(&fact.name);
            body.push(' ');
            body.push_str(&fact.meaning);
        }
        let body = body.to_lowercase();
        let mut far = 0;
        for word in words {
            if head.contains(word.as_str()) {
                continue;
            }
            far += if body.contains(word.as_str()) {
                1
            } else if word.chars().count() > 3 && nearly_stands_in(word, &format!("{head} {body}")) {
                10
            } else {
                return None;
            };
        }
        Some(far)
    }
}

fn names<'e>(editions: impl Iterator<Item = &'e Edition>, between: &str) -> String {
    let names: Vec<&str> = editions.map(|edition| edition.name.as_str()).collect();
    names.join(between)
}

/// True when a word of the text differs from `word` by one slip of the pen.
fn nearly_stands_in(word: &str, text: &str) -> bool {
    text.split(|c: char| !c.is_alphanumeric())
        .any(|other| strsim::damerau_levenshtein(word, other) <= 1)
}
