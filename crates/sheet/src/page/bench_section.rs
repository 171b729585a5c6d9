//! What the meter shows: the first power-up and the tone test.

use units::Quantity;

use super::html::Html;
use super::write::{heading, section, tick};
use super::{BuildSheet, PinVoltage, PowerUp, ToneLevels, ToneTest, cautions};

/// The first power-up, with cautions, stop conditions and every pin.
pub(crate) fn power_up(h: &mut Html, sheet: &BuildSheet) {
    let title = if sheet.power_up.is_some() {
        "First power-up"
    } else {
        "Before the first sound"
    };
    section(h, ("power", ""), title, |h| {
        cautions::at_switch_on(h, sheet);
        if let Some(power) = &sheet.power_up {
            readings(h, power);
        }
    });
}

fn readings(h: &mut Html, power: &PowerUp) {
    h.tag("div", &[("class", "stop"), ("role", "note")], |h| {
        h.words("strong", "", "Switch off at once if");
        h.text(&format!(
            "the current goes above {:.2}, anything gets hot or smells, or a pin in the table \
             is out of its band and stays there. Then look for a reversed chip or capacitor \
             and a short between neighbouring joints before trying again.",
            power.stop_above
        ));
    });
    h.tag("ol", &[("class", "steps")], |h| {
        for words in steps(power) {
            h.tag("li", &[], |h| {
                tick(h, "done");
                h.text(&words);
            });
        }
    });
    let mut packages: Vec<&str> = power.pins.iter().map(|p| p.package.as_str()).collect();
    packages.dedup();
    h.tag("div", &[("class", "pins")], |h| {
        for package in packages {
            let pins: Vec<&PinVoltage> =
                power.pins.iter().filter(|p| p.package == package).collect();
            pin_table(h, package, &pins);
        }
    });
    if !power.pins.is_empty() {
        h.words(
            "p",
            "definition",
            "Black lead on 0 V. Expected is what a meter of 10 MΩ shows at that pin; what it \
             draws through the resistors there is allowed for.",
        );
    }
}

fn steps(power: &PowerUp) -> Vec<String> {
    let mut list =
        vec!["Phones off the ears and unplugged; nothing connected to the input.".to_owned()];
    match power.series {
        Some((ohms, drop)) => list.push(format!(
            "Connect {} through {ohms} in the positive lead and read the voltage across that \
             resistor: about {drop:.2} is right. Much more means a fault.",
            power.supply
        )),
        None => list.push(format!(
            "Connect {} from a supply whose current limit is set to {:.2}.",
            power.supply, power.stop_above
        )),
    }
    list.push(format!(
        "Expected current without a signal: {:.2}. Above {:.2}: stop.",
        power.current, power.stop_above
    ));
    if let Some((mid, within)) = power.mid {
        list.push(format!(
            "Black lead on 0 V, red lead on half supply: {:.2} V ± {:.2} V with a meter of \
             10 MΩ, once the bias capacitor has charged.",
            mid.si(),
            within.si()
        ));
    }
    if power.series.is_some() {
        list.push("All well: take the series resistor out and read the pins below.".to_owned());
    } else {
        list.push("All well: read the pins below.".to_owned());
    }
    list
}

fn pin_table(h: &mut Html, package: &str, pins: &[&PinVoltage]) {
    h.tag("table", &[("class", "tight keep")], |h| {
        h.words("caption", "", &format!("{package}, volts against 0 V"));
        heading(
            h,
            &[
                ("n", "Pin"),
                ("", "What it is"),
                ("n", "Expected"),
                ("n", "Within"),
                ("", "Measured"),
            ],
        );
        h.tag("tbody", &[], |h| {
            for pin in pins {
                h.tag("tr", &[], |h| {
                    h.words("td", "n v", &pin.pin.to_string());
                    h.words("td", "", &pin.function);
                    h.words("td", "n v", &format!("{:.2} V", pin.expected.si()));
                    h.words("td", "n", &format!("± {:.2} V", pin.within.si()));
                    h.words("td", "fill", "");
                });
            }
        });
    });
}

/// The tone test.
pub(crate) fn tone_test(h: &mut Html, sheet: &BuildSheet) {
    let Some(test) = &sheet.tone_test else { return };
    section(h, ("tone", ""), "Tone test", |h| {
        h.words(
            "p",
            "",
            &format!(
                "Phones off the ears. Feed a sine tone from a generator, a phone or a computer \
                 and turn it up slowly until {} rms stand at the input jack, box connected; set \
                 it again at every frequency. What counts is the ratio, 20 log of test point \
                 over input jack, so read both with the same meter or sound card: hand meters \
                 droop on millivolts above some 400 Hz, and the ratio cancels that.",
                test.drive
            ),
        );
        if let Some(load) = sheet.circuit.load {
            h.words(
                "p",
                "soft",
                &format!("The output works into {load}: phones on the bench, or a resistor."),
            );
        }
        tone_table(h, test);
        if !test.basis.is_empty() {
            h.words("p", "definition", &test.basis);
        }
        if !sheet.test_points.is_empty() {
            let places = sheet.test_points.iter();
            let list: Vec<String> = places.map(|p| format!("{}: {}", p.name, p.place)).collect();
            h.words("p", "definition", &format!("{}.", list.join("; ")));
        }
    });
}

fn tone_table(h: &mut Html, test: &ToneTest) {
    h.tag("div", &[("class", "scroll")], |h| {
        h.tag("table", &[("class", "tight")], |h| {
            h.tag("thead", &[], |h| {
                h.tag("tr", &[], |h| {
                    h.tag("th", &[("scope", "col")], |h| h.text("Test point"));
                    for (f, name) in &test.frequencies {
                        h.tag("th", &[("class", "n"), ("scope", "col")], |h| {
                            h.text(&f.to_string());
                            h.void("br", &[]);
                            h.text(name);
                        });
                        h.tag("th", &[("scope", "col")], |h| h.text("measured"));
                    }
                });
            });
            h.tag("tbody", &[], |h| {
                for levels in &test.levels {
                    h.tag("tr", &[], |h| tone_row(h, test, levels));
                }
            });
        });
    });
}

fn tone_row(h: &mut Html, test: &ToneTest, levels: &ToneLevels) {
    h.words("td", "v", &levels.point);
    for (number, gain) in levels.gain.iter().enumerate() {
        h.tag("td", &[("class", "n")], |h| {
            h.words("strong", "", &decibels(gain.si()));
            if let Some(within) = levels.within.get(number) {
                h.text(&format!(" ± {:.1}", within.si()));
            }
            let volts = units::Volts(round(test.drive.si() * 10_f64.powf(gain.si() / 20.0)));
            h.words("div", "definition", &volts.to_string());
        });
        h.words("td", "fill", "");
    }
}

/// A level in decibels with a proper minus sign.
fn decibels(level: f64) -> String {
    let sign = if level <= -0.05 { "−" } else { "" };
    format!("{sign}{:.1} dB", level.abs())
}

/// Three significant digits: no meter at the bench shows more.
fn round(value: f64) -> f64 {
    if value > 0.0 && value.is_finite() {
        let power = 10_f64.powf(2.0 - value.log10().floor());
        (value * power).round() / power
    } else {
        value
    }
}
