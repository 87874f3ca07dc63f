//! A reader that counts bytes and lines and stops when one piece grows beyond measure.
//!
//! In: any source of bytes. Out: the same bytes, in chunks of fixed size. The XML and CSV readers keep one event or row
//! in memory; a hostile file makes that one piece endless. [`Bounded::piece_done`] says that a piece ended; when none
//! ends for [`PIECE_MAX`] bytes, reading fails.

use crate::error::Place;
use std::io::{self, BufRead, Read};

/// Bytes a tag, text, comment or row may have: far more than the longest licence comment seen in a real file.
pub(crate) const PIECE_MAX: usize = 256 * 1024;
const CHUNK: usize = 64 * 1024;

pub(crate) struct Bounded<R> {
    inner: R,
    chunk: Box<[u8]>,
    at: usize,
    filled: usize,
    /// Bytes and line ends before the chunk.
    bytes_before: u64,
    lines_before: u64,
    piece_left: usize,
    overrun: bool,
}

impl<R: Read> Bounded<R> {
    pub(crate) fn new(inner: R) -> Self {
        Self {
            inner,
            chunk: vec![0; CHUNK].into_boxed_slice(),
            at: 0,
            filled: 0,
            bytes_before: 0,
            lines_before: 0,
            piece_left: PIECE_MAX,
            overrun: false,
        }
    }

    /// A piece ended; the next may be as long again.
    pub(crate) fn piece_done(&mut self) {
        self.piece_left = PIECE_MAX;
    }

    /// Whether reading failed because one piece was too long.
    pub(crate) fn overrun(&self) -> bool {
        self.overrun
    }

    /// Bytes handed out so far.
    pub(crate) fn byte(&self) -> u64 {
        self.bytes_before + self.at as u64
    }

    /// Where reading stands; counts line ends, so it is for messages, not for every piece.
    pub(crate) fn place(&self) -> Place {
        Place {
            byte: self.byte(),
            line: 1 + self.lines_before + line_ends(&self.chunk[..self.at]),
        }
    }
}

fn line_ends(bytes: &[u8]) -> u64 {
    bytes.iter().map(|byte| u64::from(*byte == b'\n')).sum()
}

impl<R: Read> BufRead for Bounded<R> {
    fn fill_buf(&mut self) -> io::Result<&[u8]> {
        if self.at == self.filled {
            self.bytes_before += self.filled as u64;
            self.lines_before += line_ends(&self.chunk[..self.filled]);
            (self.at, self.filled) = (0, 0);
            self.filled = loop {
                match self.inner.read(&mut self.chunk) {
                    Err(error) if error.kind() == io::ErrorKind::Interrupted => {}
                    other => break other?,
                }
            };
        }
        if self.piece_left == 0 && self.filled > 0 {
            self.overrun = true;
            return Err(io::Error::other("one piece is too long"));
        }
        // Never hand out more than the piece may still take, or a long one would slip through in whole chunks.
        let end = self.filled.min(self.at + self.piece_left);
        Ok(&self.chunk[self.at..end])
    }

    fn consume(&mut self, amount: usize) {
        self.at += amount;
        self.piece_left = self.piece_left.saturating_sub(amount);
    }
}

impl<R: Read> Read for Bounded<R> {
    fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
        let ready = self.fill_buf()?;
        let amount = ready.len().min(into.len());
        into[..amount].copy_from_slice(&ready[..amount]);
        self.consume(amount);
        Ok(amount)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bytes_and_lines_are_counted_across_chunks() {
        let text = "ab\n".repeat(60_000);
        let mut reader = Bounded::new(text.as_bytes());
        let mut out = Vec::new();
        let mut byte = [0; 1000];
        loop {
            reader.piece_done();
            match reader.read(&mut byte).unwrap() {
                0 => break,
                amount => out.extend_from_slice(&byte[..amount]),
            }
        }
        assert_eq!(out, text.as_bytes());
        assert_eq!(
            reader.place(),
            Place {
                byte: 180_000,
                line: 60_001
            }
        );
    }

    #[test]
    fn an_endless_piece_is_stopped() {
        let mut reader = Bounded::new(io::repeat(b'x'));
        let mut out = Vec::new();
        assert!(reader.read_to_end(&mut out).is_err());
        assert!(reader.overrun());
        assert_eq!(out.len(), PIECE_MAX);
    }
}
