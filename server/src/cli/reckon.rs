//! `selion reckon`: the trade's arithmetic without a screen. A case goes in as JSON, the answer comes out with its working.

use std::io::{Read, Write};

use selion_core::topics::{self, TopicError};

use super::CommandError;

/// The longest case that is read; no example comes near it.
const LONGEST_CASE: u64 = 1024 * 1024;

#[derive(Clone, Debug, clap::Args)]
pub(super) struct Reckon {
    /// What to work out; without it all topics are listed.
    topic: Option<String>,
    /// Print the answer as JSON.
    #[arg(long)]
    json: bool,
    /// Print a case that runs, instead of reading one.
    #[arg(long, requires = "topic")]
    example: bool,
}

impl Reckon {
    /// Reads the case from `input`, when one is asked for.
    pub(super) fn run(self, input: &mut dyn Read, out: &mut dyn Write) -> Result<(), CommandError> {
        let Some(name) = &self.topic else {
            return list(out);
        };
        let topic = topics::find(name)?;
        if self.example {
            writeln!(out, "{}", topic.example.trim())?;
            return Ok(());
        }
        let mut case = String::new();
        input.take(LONGEST_CASE).read_to_string(&mut case)?;
        let printed = topics::run(name, &case)?;
        if self.json {
            writeln!(out, "{:#}", printed.json)?;
        } else {
            writeln!(out, "{}", printed.text.trim_end())?;
        }
        Ok(())
    }
}

fn list(out: &mut dyn Write) -> Result<(), CommandError> {
    let widest = topics::all()
        .map(|topic| topic.name.len())
        .max()
        .unwrap_or(0);
    for topic in topics::all() {
        writeln!(out, "{:widest$}  {}", topic.name, topic.summary)?;
    }
    writeln!(out, "\nA case that runs: selion reckon TOPIC --example")?;
    Ok(())
}

/// What the program ends with: 2 for a case that cannot be read, 1 where the arithmetic gives no number for it.
pub(super) fn exit_status(error: &TopicError) -> u8 {
    match error {
        TopicError::NoSuchTopic(_) | TopicError::BadInput(_) => 2,
        TopicError::Refused(_) | TopicError::Unwritable(_) => 1,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn reckon(what: &Reckon, case: &str) -> Result<String, CommandError> {
        let mut out = Vec::new();
        what.clone().run(&mut case.as_bytes(), &mut out)?;
        Ok(String::from_utf8(out).unwrap())
    }

    fn text_of(topic: &str) -> Reckon {
        Reckon {
            topic: Some(topic.to_owned()),
            json: false,
            example: false,
        }
    }

    #[test]
    fn every_topic_is_listed_and_its_example_runs_as_text_and_as_json() {
        let list = Reckon {
            topic: None,
            ..text_of("")
        };
        let listed = reckon(&list, "").unwrap();
        for topic in topics::all() {
            assert!(listed.contains(topic.name), "{} is not listed", topic.name);
            let text = text_of(topic.name);
            let example = Reckon {
                example: true,
                ..text.clone()
            };
            let case = reckon(&example, "").unwrap();
            assert!(!reckon(&text, &case).unwrap().is_empty());
            let json = reckon(&Reckon { json: true, ..text }, &case).unwrap();
            serde_json::from_str::<serde_json::Value>(&json).unwrap();
        }
    }

    #[test]
    fn bad_input_is_one_line_that_names_the_field_and_ends_with_2() {
        for (topic, case) in [
            ("apportion", "{}"),
            ("apportion", "no case"),
            ("turnips", "{}"),
        ] {
            let error = reckon(&text_of(topic), case).unwrap_err();
            assert_eq!(error.exit_status(), 2, "{error}");
            assert_eq!(error.to_string().lines().count(), 1, "{error}");
        }
    }
}
