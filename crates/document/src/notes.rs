//! What a reading has found out so far: complaints, and which keys were asked for.

use std::cell::RefCell;
use std::collections::HashMap;
use std::ops::Range;

use crate::complaint::Objection;
use crate::{Complaint, nearest};

/// One table that was visited.
struct Visit {
    /// Keys it has, with their bytes.
    keys: Vec<(String, Range<usize>)>,
    /// Keys that were asked for, in order.
    asked: Vec<String>,
    /// Keys that were needed and are not there, with the bytes to point at.
    missing: Vec<(String, Complaint)>,
}

/// The notes of one reading, shared by all its tables.
#[derive(Default)]
pub(crate) struct Notes {
    complaints: RefCell<Vec<Complaint>>,
    visits: RefCell<Vec<Visit>>,
    /// Number of a visit by where its table lies in memory: one table has one visit.
    numbers: RefCell<HashMap<usize, usize>>,
}

impl Notes {
    /// Notes a complaint.
    pub(crate) fn complain(&self, complaint: Complaint) {
        self.complaints.borrow_mut().push(complaint);
    }

    /// The number under which a table's keys are remembered.
    pub(crate) fn visit(&self, address: usize, keys: Vec<(String, Range<usize>)>) -> usize {
        let mut visits = self.visits.borrow_mut();
        let mut numbers = self.numbers.borrow_mut();
        let number = *numbers.entry(address).or_insert(visits.len());
        if number == visits.len() {
            visits.push(Visit {
                keys,
                asked: Vec::new(),
                missing: Vec::new(),
            });
        }
        number
    }

    /// Remembers that a key was asked for.
    pub(crate) fn ask(&self, visit: usize, key: &str) {
        let asked = &mut self.visits.borrow_mut()[visit].asked;
        if !asked.iter().any(|a| a == key) {
            asked.push(key.to_owned());
        }
    }

    /// Remembers that a needed key is not there.
    pub(crate) fn missing(&self, visit: usize, key: &str, complaint: Complaint) {
        let missing = &mut self.visits.borrow_mut()[visit].missing;
        if !missing.iter().any(|m| m.0 == key) {
            missing.push((key.to_owned(), complaint));
        }
    }

    /// All complaints, with those about keys nobody asked for.
    ///
    /// A reading that `gave_up` has not asked for every key: then only a key that looks
    /// like a missing one is complained of.
    pub(crate) fn finish(self, gave_up: bool) -> Vec<Complaint> {
        let mut complaints = self.complaints.into_inner();
        for visit in self.visits.into_inner() {
            visit.finish(gave_up, &mut complaints);
        }
        complaints
    }
}

impl Visit {
    fn finish(mut self, gave_up: bool, complaints: &mut Vec<Complaint>) {
        let unknown: Vec<_> = self
            .keys
            .iter()
            .filter(|(key, _)| !self.asked.contains(key))
            .cloned()
            .collect();
        for (key, span) in unknown {
            let meant = self.take_missing_like(&key);
            if meant.is_some() || !gave_up {
                let objection = self.unknown(&key, meant.as_deref());
                complaints.push(objection.at(span));
            }
        }
        complaints.extend(self.missing.into_iter().map(|(_, complaint)| complaint));
    }

    /// The missing key an unknown one was meant for; it is complained of no more.
    fn take_missing_like(&mut self, key: &str) -> Option<String> {
        let meant = nearest(key, self.missing.iter().map(|m| m.0.as_str()))?.to_owned();
        self.missing.retain(|m| m.0 != meant);
        Some(meant)
    }

    fn unknown(&self, key: &str, meant: Option<&str>) -> Objection {
        let absent = self
            .asked
            .iter()
            .filter(|a| !self.keys.iter().any(|k| k.0 == **a));
        let meant = meant.or_else(|| nearest(key, absent.map(String::as_str)));
        let advice = match meant {
            Some(meant) => format!("write {meant}"),
            None => "take it out, or make it a comment with #".to_owned(),
        };
        let mut allowed = self.asked.clone();
        allowed.sort();
        Objection::new(
            format!("the unknown key \"{key}\""),
            allowed.join(", "),
            advice,
        )
    }
}
