//! What `spread` finds: the same on any number of threads, and the short answer like the long one.

use workshop::Refusal;
use workshop::spread::{SpreadRequest, quick, spread};

const OLD_BOX: &str = include_str!("../../../examples/attic/old-box.toml");

fn request() -> SpreadRequest {
    SpreadRequest {
        trials: 1_500,
        ..SpreadRequest::of("old-box.toml", OLD_BOX)
    }
}

/// Physical invariant: the whole report, advice and curve included, is the same to the bit on 1, 2 and 5
/// threads.
#[test]
fn threads_do_not_show() {
    let on = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build();
        let found = pool
            .expect("a pool")
            .install(|| spread(&request(), |_| true));
        found.expect("a sound circuit")
    };
    let one = on(1);
    assert_eq!(one, on(2));
    assert_eq!(one, on(5));
}

/// Two routes: what `plan` is told in a hurry is within the long answer's uncertainty, and names the
/// same remedy first.
#[test]
fn the_short_answer_is_like_the_long_one() {
    let long = spread(&request(), |_| true).expect("a sound circuit");
    let short = quick(&request()).expect("a sound circuit");
    // Four standard errors of a share of a thousand.
    assert!((short.share.share - long.share.share).abs() < 4.0 * (0.25_f64 / 1000.0).sqrt());
    let [low, high] = short.centre_hz.expect("a band");
    let centre = long.figures.centre_hz;
    for (short, long) in [(low, centre.low_5), (high, centre.high_95)] {
        assert!((short / long.expect("a band") - 1.0).abs() < 0.01);
    }
    let said = short.words();
    assert!(
        said.contains("% of boxes are good, nine centres in ten from") && said.contains("R4"),
        "{said}"
    );
    let first = short.advice.expect("something helps");
    assert_eq!(first.id, long.advice[0].id);
    assert!(first.gained > 0.2 && first.share.trials < long.share.trials);
}

/// A run is told how far it is, and stops when told to, with a word on it.
#[test]
fn a_run_tells_and_can_be_stopped() {
    let request = SpreadRequest {
        trials: 20_000,
        ..request()
    };
    let mut told = Vec::new();
    let stopped = spread(&request, |done| {
        told.push(done);
        done == 0
    });
    assert_eq!(told, [0, 8_192]);
    match stopped {
        Err(Refusal::Circuit(why)) => assert!(why.contains("stopped after 8192 trials"), "{why}"),
        other => panic!("{other:?}"),
    }
}
