//! A finding as the template reads it.

use super::Setter;
use crate::document::{Detail, FindingBlock, Text};
use crate::signs::Sign;
use crate::working;
use serde_json::{Value, json};

impl Setter {
    pub(super) fn finding(&mut self, block: &FindingBlock) -> Value {
        let words = self.words;
        let finding = &block.finding;
        let full = block.detail == Detail::Full;
        let mut facts = Vec::new();
        if let Some(remedy) = &finding.remedy {
            facts.push(json!({"label": words.remedy, "text": self.text(&Text::with_values(remedy))}));
        }
        if let Some(why) = finding.why.as_ref().filter(|_| full) {
            facts.push(json!({"label": words.why, "text": self.text(&Text::from(why.as_str()))}));
        }
        let mut origin = vec![json!({"label": words.rule, "words": self.line(&finding.rule)})];
        if let Some(edition) = &finding.edition {
            origin.push(json!({"label": words.edition, "words": self.line(edition)}));
        }
        origin.push(json!({"label": words.source, "words": self.line(&words.source(&finding.source))}));
        let caution = finding.caution.as_deref().map(|caution| self.lines(caution));
        let missing = working::missing(block, words).map(|table| self.table(&table));
        json!({
            "kind": "finding",
            "sign": Sign::Severity(finding.severity).name(),
            "word": words.severity(finding.severity).to_uppercase(),
            "title": self.line(&finding.title),
            "subject": self.line(&finding.subject),
            "message": self.text(&Text::with_values(&finding.message)),
            "caution_word": words.caution.to_uppercase(),
            "caution": caution,
            "facts": facts,
            "missing": missing,
            "working": if full { self.working(block) } else { json!(null) },
            "origin": origin,
        })
    }

    fn working(&mut self, block: &FindingBlock) -> Value {
        let inputs = working::inputs(block, self.words).map(|table| self.table(&table));
        let steps: Vec<Value> = working::steps(block, self.words)
            .into_iter()
            .map(|(label, step)| json!({"label": label, "words": self.lines(&step)}))
            .collect();
        if inputs.is_none() && steps.is_empty() {
            return json!(null);
        }
        let working = &block.finding.working;
        let n_characters: usize = working
            .inputs
            .iter()
            .flat_map(|input| [&input.symbol, &input.meaning, &input.value])
            .chain([&working.formula, &working.substituted, &working.result])
            .chain(
                working
                    .turns
                    .iter()
                    .flat_map(|turn| [&turn.symbol, &turn.value, &turn.at]),
            )
            .map(String::len)
            .sum();
        // What is longer may break over sheets.
        let long = n_characters > 1_500 || working.inputs.len() > 12;
        json!({"label": self.words.working, "inputs": inputs, "steps": steps, "long": long})
    }
}
