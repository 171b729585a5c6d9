//! The reader and all that follows it never panic, whatever the file.
//!
//! Seeded mutations of the corpus beside this file. The count is small by default;
//! `NARROWS_FUZZ_RUNS` sets another. What is accepted goes on to the judges, the operating
//! point and, now and then, a short transient; and what has no operating point must have
//! been called a problem before, or name the node whose voltage is open.

use circuit::dc::{Unsolved, operating_point};
use circuit::transient::{Drive, Mode, Request, simulate};
use circuit::validate::{Severity, faults};
use circuit::{ReadCircuit, read_in_place, write};
use testkit::awkward::Stream;
use units::{Hertz, Seconds, Volts};

const CORPUS: [&str; 6] = [
    include_str!("../corpus/everything.toml"),
    include_str!("../corpus/ideal.toml"),
    include_str!("../corpus/limiter.toml"),
    include_str!("../corpus/odd.toml"),
    include_str!("../corpus/rc.toml"),
    include_str!("../corpus/stage.toml"),
];

/// Words that mean something to the reader, put where they do not belong.
const WORDS: [&str; 44] = [
    "\"0\"",
    "\"vcc\"",
    "\"in\"",
    "\"out\"",
    "\"mid\"",
    "\"a\"",
    "\"x1\"",
    "\"m1\"",
    "\"y\"",
    "resistor",
    "capacitor",
    "inductor",
    "opamp",
    "diode",
    "pot",
    "switch",
    "ideal",
    "TL072",
    "LM358",
    "4k7",
    "0",
    "-1",
    "1e308",
    "1e-308",
    "nan",
    "inf",
    "1T",
    "1 fF",
    "100 MV",
    "\"\"",
    "[[part]]",
    "[part]",
    "[supply]",
    "{ }",
    "[ ]",
    "ref",
    "value",
    "between",
    "position = 9",
    "µ",
    "\u{202e}",
    "\0",
    "\r\n",
    "\"\"\"",
];

/// One mutation.
fn mutate(text: &mut Vec<u8>, stream: &mut Stream) {
    let at = stream.below(text.len() + 1);
    match stream.below(9) {
        0 => text.insert(at, stream.below(256) as u8),
        1 if at < text.len() => {
            text.remove(at);
        }
        2 if at < text.len() => text[at] ^= 1 << stream.below(8),
        3 => {
            let word = stream.pick(&WORDS);
            text.splice(at..at, word.bytes());
        }
        4 => swap_quoted(text, stream),
        5 => replace_quoted(text, stream),
        6 => copy_lines(text, stream),
        7 => drop_line(text, stream),
        _ => scale_a_digit(text, stream),
    }
}

/// Spans of quoted texts within a line.
fn quoted(text: &[u8]) -> Vec<(usize, usize)> {
    let quotes: Vec<usize> = (0..text.len()).filter(|&k| text[k] == b'"').collect();
    quotes
        .chunks_exact(2)
        .map(|pair| (pair[0], pair[1] + 1))
        .collect()
}

fn swap_quoted(text: &mut Vec<u8>, stream: &mut Stream) {
    let spans = quoted(text);
    if spans.is_empty() {
        return;
    }
    let (from, to) = (stream.pick(&spans), stream.pick(&spans));
    let word = text[from.0..from.1].to_vec();
    text.splice(to.0..to.1, word);
}

fn replace_quoted(text: &mut Vec<u8>, stream: &mut Stream) {
    let spans = quoted(text);
    if spans.is_empty() {
        return;
    }
    let (start, end) = stream.pick(&spans);
    let word = stream.pick(&WORDS);
    let word = match word.starts_with('"') {
        true => word.to_owned(),
        false => format!("\"{word}\""),
    };
    text.splice(start..end, word.bytes());
}

fn line_starts(text: &[u8]) -> Vec<usize> {
    let after = (0..text.len()).filter(|&k| text[k] == b'\n').map(|k| k + 1);
    std::iter::once(0).chain(after).collect()
}

fn copy_lines(text: &mut Vec<u8>, stream: &mut Stream) {
    let starts = line_starts(text);
    let first = stream.below(starts.len());
    let last = (first + 1 + stream.below(10)).min(starts.len() - 1);
    let block = text[starts[first]..starts[last].max(starts[first])].to_vec();
    let at = stream.pick(&starts);
    if text.len() < 20_000 {
        text.splice(at..at, block);
    }
}

fn drop_line(text: &mut Vec<u8>, stream: &mut Stream) {
    let starts = line_starts(text);
    let k = stream.below(starts.len());
    let end = starts.get(k + 1).copied().unwrap_or(text.len());
    text.drain(starts[k]..end);
}

fn scale_a_digit(text: &mut [u8], stream: &mut Stream) {
    let digits: Vec<usize> = (0..text.len())
        .filter(|&k| text[k].is_ascii_digit())
        .collect();
    if !digits.is_empty() {
        text[stream.pick(&digits)] = b'0' + stream.below(10) as u8;
    }
}

/// How many files got how far.
#[derive(Debug, Default)]
struct Reached {
    read: usize,
    solved: usize,
    simulated: usize,
}

fn follow(read: &ReadCircuit, text: &str, transient: bool, reached: &mut Reached) {
    reached.read += 1;
    for fault in faults(&read.circuit) {
        let complaint = fault.complaint(&read.places);
        assert!(text.get(complaint.span).is_some(), "{fault:?}");
    }
    let written = write(&read.circuit);
    let back = circuit::read("again.toml", &written);
    assert_eq!(back.as_ref(), Ok(&read.circuit), "{text}\n---\n{written}");
    let problem = faults(&read.circuit)
        .into_iter()
        .find(|fault| fault.severity == Severity::Problem);
    let point = operating_point(&read.circuit);
    // Some equations leave a voltage open in ways no look at the wiring can tell; there
    // the refusal names the node itself.
    if let (Err(why), None) = (&point, &problem)
        && !matches!(why, Unsolved::Undetermined { .. })
    {
        panic!("nothing warned of it: {why}\n{text}");
    }
    if let Ok(point) = point {
        assert!(point.nodes.iter().all(|v| v.0.is_finite()), "{text}");
        reached.solved += 1;
        if transient {
            let drive = Drive::Tone {
                frequency: Hertz(650.0),
                peak: Volts(1.0),
                phase_rad: 0.0,
                until: None,
            };
            let request = Request::new(Seconds(1e-4), Seconds(1e-5), Mode::Full);
            let done = simulate(&read.circuit, &drive, &request);
            reached.simulated += usize::from(done.is_ok());
        }
    }
}

#[test]
fn fuzz_circuit_files() {
    let runs = std::env::var("NARROWS_FUZZ_RUNS")
        .ok()
        .and_then(|text| text.parse::<usize>().ok())
        .unwrap_or(3000);
    let mut stream = Stream::new(0x0f02_2026);
    let mut reached = Reached::default();
    for run in 0..runs {
        let mut bytes = stream.pick(&CORPUS).as_bytes().to_vec();
        for _ in 0..=stream.below(4) {
            mutate(&mut bytes, &mut stream);
        }
        let text = String::from_utf8_lossy(&bytes);
        match read_in_place("fuzz.toml", &text) {
            Ok(read) => follow(&read, &text, run % 50 == 0, &mut reached),
            Err(complaints) => {
                for complaint in complaints.list() {
                    assert!(text.get(complaint.span.clone()).is_some(), "{text}");
                    assert!(!complaint.found.is_empty() && !complaint.advice.is_empty());
                }
            }
        }
    }
    println!("{runs} files: {reached:?}");
    // The mutations must leave something to judge, or they prove nothing.
    assert!(
        reached.read * 20 > runs && reached.solved * 30 > runs,
        "{reached:?} of {runs}"
    );
}
