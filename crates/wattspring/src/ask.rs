//! Questions at a terminal, one at a time, plain enough for any screen and for a pipe.

use std::io::{self, BufRead, Write};

/// Asks `question` until `read` takes the answer; an empty answer means "not known".
///
/// # Errors
/// When reading or writing fails. The end of the input counts as "not known".
pub(crate) fn ask<T>(
    input: &mut impl BufRead,
    output: &mut impl Write,
    question: &str,
    read: impl Fn(&str) -> Result<T, String>,
) -> io::Result<Option<T>> {
    loop {
        write!(output, "{question}\n> ")?;
        output.flush()?;
        let mut line = String::new();
        if input.read_line(&mut line)? == 0 || line.trim().is_empty() {
            writeln!(output)?;
            return Ok(None);
        }
        match read(line.trim()) {
            Ok(answer) => return Ok(Some(answer)),
            Err(problem) => writeln!(output, "  {problem}")?,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use quantity::Current;

    #[test]
    fn it_asks_again_until_the_answer_can_be_read() {
        let mut input: &[u8] = b"many\n150 A\n";
        let mut output = Vec::new();
        let answer = ask(&mut input, &mut output, "Service rating?", |text| {
            text.parse::<Current>().map_err(|error| error.to_string())
        });
        assert_eq!(answer.unwrap(), Some(Current::from_amperes(150.0)));
        assert!(
            String::from_utf8(output)
                .unwrap()
                .contains("`many` is not a number")
        );
    }

    #[test]
    fn nothing_means_not_known() {
        for mut input in [&b"\n"[..], &b""[..]] {
            let answer = ask(&mut input, &mut Vec::new(), "Free spaces?", |text| {
                text.parse::<u16>().map_err(|e| e.to_string())
            });
            assert_eq!(answer.unwrap(), None);
        }
    }
}
