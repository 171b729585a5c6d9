//! What the meter shows: the first power-up and the tone test.

use units::Quantity;

use super::html::Html;
use super::write::{direct_volts, heading, section, tick};
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
            readings(h, sheet, power);
        }
    });
}

fn readings(h: &mut Html, sheet: &BuildSheet, power: &PowerUp) {
    h.tag("div", &[("class", "stop"), ("role", "note")], |h| {
        h.words("strong", "", "Switch off at once if ");
        h.text(&format!(
            "the current goes above {:.2}, anything gets hot or smells, or a pin in the table \
             is out of its band and stays there. Then look for a reversed chip or capacitor \
             and a short between neighbouring joints before trying again.",
            power.stop_above
        ));
    });
    let mut packages: Vec<&str> = power.pins.iter().map(|p| p.package.as_str()).collect();
    packages.dedup();
    h.tag("ol", &[("class", "steps")], |h| {
        for words in steps(power, &packages, sheet.phones) {
            h.tag("li", &[], |h| {
                tick(h, "done");
                h.text(&words);
            });
        }
    });
    h.tag("div", &[("class", "pins")], |h| {
        for package in &packages {
            let pins: Vec<&PinVoltage> = power
                .pins
                .iter()
                .filter(|p| p.package == *package)
                .collect();
            pin_table(h, package, &pins);
        }
    });
    if !power.pins.is_empty() {
        h.words(
            "p",
            "definition",
            "Black lead on 0 V, direct volts. Expected is what a meter of 10 MΩ shows while it \
             is on that pin: where a pin hangs on large resistors the meter shifts it, and that \
             is allowed for. A needle meter shifts such pins further; their outputs tell enough.",
        );
    }
}

fn steps(power: &PowerUp, packages: &[&str], phones: bool) -> Vec<String> {
    let chips = match packages {
        [] => String::new(),
        [one] => format!("fit the chip {one}, the notch or dot of its pin 1 end as the socket's; "),
        several => format!(
            "fit the chips {}, each with the notch or dot of its pin 1 end as the socket's; ",
            several.join(", ")
        ),
    };
    let quiet = match phones {
        true => "nothing at the input, phones unplugged and off the ears.",
        false => "nothing connected to input and output.",
    };
    let mut list = vec![format!("Supply disconnected: {chips}{quiet}")];
    match &power.series {
        Some(first) => {
            list.push(format!(
                "Connect {} through {} in the positive lead and read the direct voltage across \
                 that resistor: about {}, which is the expected {:.2} without a signal. Above {} \
                 ({:.2}) disconnect and look for the fault.",
                power.supply,
                first.value,
                direct_volts(first.drop),
                power.current,
                direct_volts(first.stop_above),
                power.stop_above
            ));
            list.push(
                "All well: disconnect, take the series resistor out, connect again.".to_owned(),
            );
        }
        None => list.push(format!(
            "Connect {} from a supply whose current limit is set to {:.2}. Expected without a \
             signal: {:.2}; at the limit disconnect and look for the fault.",
            power.supply, power.stop_above, power.current
        )),
    }
    if let Some(mid) = &power.mid {
        list.push(format!(
            "Black lead on 0 V, red lead on half supply, {}: {} ± {} once its capacitor has \
             charged. Then every pin in the table.",
            mid.place,
            direct_volts(mid.expected),
            direct_volts(mid.within)
        ));
    } else if !power.pins.is_empty() {
        list.push("Black lead on 0 V: read every pin in the table.".to_owned());
    }
    list
}

/// The pins of one package. The band most of them share stands in the caption.
fn pin_table(h: &mut Html, package: &str, pins: &[&PinVoltage]) {
    let alike = |p: &PinVoltage| pins.iter().filter(|q| q.within == p.within).count();
    let usual = pins.iter().max_by_key(|p| alike(p)).map(|p| p.within);
    let mut title = package.to_owned();
    if let Some(within) = usual {
        title += &format!(", each ± {}", direct_volts(within));
    }
    for pin in pins.iter().filter(|p| Some(p.within) != usual) {
        title += &format!(", pin {} ± {}", pin.pin, direct_volts(pin.within));
    }
    h.tag("table", &[("class", "tight keep")], |h| {
        h.words("caption", "", &title);
        let columns = [
            ("n", "Pin"),
            ("", "What it is"),
            ("n", "Expected"),
            ("", "Read"),
        ];
        heading(h, &columns);
        h.tag("tbody", &[], |h| {
            for pin in pins {
                h.tag("tr", &[], |h| {
                    h.words("td", "n v", &pin.pin.to_string());
                    h.words("td", "", &pin.function);
                    h.words("td", "n v", &direct_volts(pin.expected));
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
        h.words("p", "", &procedure(sheet, test));
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

/// How the tone test is done, and into what load.
fn procedure(sheet: &BuildSheet, test: &ToneTest) -> String {
    let mut words = String::new();
    if sheet.phones {
        words += "Phones off the ears. ";
    }
    words += &format!(
        "Feed a sine tone from a generator, a phone or a computer (a laptop on its battery, \
         against hum) and turn it up slowly until {} rms stand at the input jack, box connected; \
         set it again at every frequency. What counts is the ratio in decibels, 20 times the \
         logarithm of test point over input jack, both against 0 V: read both with the same \
         meter or sound card. Many hand meters fall off above some 400 Hz and show nothing \
         below a millivolt; the ratio cancels the first. The first test point out of its band \
         names the stage to look at.",
        test.drive
    );
    if let Some(load) = sheet.circuit.load {
        let what = match sheet.phones {
            true => "phones on the bench, or a resistor of that value",
            false => "what follows the box, or a resistor of that value",
        };
        words += &format!(" The output works into {load}: {what}.");
    }
    words
}

fn tone_table(h: &mut Html, test: &ToneTest) {
    h.tag("div", &[], |h| {
        h.tag("table", &[("class", "tight tones")], |h| {
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
        let at = test.frequencies.get(number);
        let at = at.map_or(String::new(), |(f, name)| format!("{f}, {name}"));
        h.tag("td", &[("class", "n"), ("data-at", &at)], |h| {
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
