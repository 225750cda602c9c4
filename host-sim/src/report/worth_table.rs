//! What the settings are worth.

use super::ReportData;
use super::tables::table;
use crate::plots::printable;
use crate::worth::{Worth, queue_rows, remarks, setting_rows};
use maud::{Markup, html};

pub(super) fn worth(data: &ReportData) -> Markup {
    html! {
        @if let Some(worth) = &data.worth { (tables(worth)) }
        @if let Some(why) = &data.worth_left_out { p { (printable(why)) } }
    }
}

fn tables(worth: &Worth) -> Markup {
    html! {
        p.advice { (words(&worth.advice)) }
        p.note { "The change in job time for a tenth more and a tenth less of each number, each found by planning the "
            "whole program again. “all” stands for the three axes together: where two hold the same moves, one "
            "alone shows nothing." }
        (rows("Table of settings", ["Setting", "Now", "10 % less", "10 % more", "of the job"], 1, &setting_rows(worth)))
        @for remark in remarks(worth) { p.note { (words(&remark)) } }
        h3 { "Look-ahead" }
        p.note { "What a shorter queue of moves costs, and what it takes of the controller's memory." }
        (rows("Table of look-ahead queues", ["Look-ahead, moves", "Job time", "Longer by", "Planner, bytes"], 0, &queue_rows(&worth.look_ahead, worth.least_change_s)))
    }
}

/// A sentence; what stands between grave accents is code.
fn words(text: &str) -> Markup {
    let text = printable(text);
    html! {
        @for (index, part) in text.split('`').enumerate() {
            @if index % 2 == 1 { code { (part) } } @else { (part) }
        }
    }
}

/// A table; its columns from `numbers` on are set to the right.
fn rows<const N: usize>(
    name: &str,
    heads: [&str; N],
    numbers: usize,
    rows: &[[String; N]],
) -> Markup {
    let class = |column: usize| (column >= numbers).then_some("number");
    let body = html! {
        thead { tr { @for (column, head) in heads.iter().enumerate() { th class=[class(column)] scope="col" { (head) } } } }
        tbody {
            @for row in rows {
                tr {
                    th class=[class(0)] scope="row" { (printable(&row[0])) }
                    @for (column, cell) in row.iter().enumerate().skip(1) { td class=[class(column)] { (printable(cell)) } }
                }
            }
        }
    };
    table(name, "", body)
}
