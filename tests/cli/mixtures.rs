//! Section 3 of a safety sheet, and mixtures to classify: every fault with its place and cure.

use super::bench::Bench;
use insta::assert_snapshot;

/// A workshop with a mixture of these lines.
fn classified(lines: &str) -> String {
    let bench = Bench::empty();
    bench.file("trial.yaml", format!("mixture: Trial\ningredients:\n{lines}\n"));
    bench.run("classify trial.yaml --on 2026-11-25")
}

#[test]
fn a_class_that_does_not_exist_is_told_with_the_nearest() {
    assert_snapshot!(classified("- {name: linalool, percent: 2, classes: [\"Skin Sens. 1D, H317\"]}"), @r#"
    exit code 2
    --- stderr
    error[file/hazard-class]: there is no hazard class `Skin Sens. 1D`
     --> trial.yaml:3:42
      |
    3 | - {name: linalool, percent: 2, classes: ["Skin Sens. 1D, H317"]}
      |                                          ^^^^^^^^^^^^^^^^^^^^^ here
      |
    help: did you mean `Skin Sens. 1A`? classes are written as in the regulation, for example `Skin Sens. 1B, H317`; the statement goes with `Skin Sens. 1A, H317`, `Skin Sens. 1B, H317`, `Skin Sens. 1, H317`
    "#);
}

#[test]
fn a_statement_of_another_class_is_told() {
    assert_snapshot!(classified("- {name: linalool, percent: 2, classes: [\"Skin Sens. 1B, H315\"]}"), @r#"
    exit code 2
    --- stderr
    error[file/hazard-class]: `H315` is not a statement of `Skin Sens. 1B`
     --> trial.yaml:3:42
      |
    3 | - {name: linalool, percent: 2, classes: ["Skin Sens. 1B, H315"]}
      |                                          ^^^^^^^^^^^^^^^^^^^^^ here
      |
    help: the class goes with `Skin Sens. 1B, H317`: copy both again from section 3 of the sheet (`H315` is of `Skin Irrit. 2`)
    "#);
}

#[test]
fn a_slip_in_an_ec_number_is_told() {
    assert_snapshot!(classified("- {name: linalool, ec: 201-134-5, percent: 2}"), @r#"
    exit code 2
    --- stderr
    error[file/ec-number]: `201-134-5` is not an EC number: its last digit does not fit the others
     --> trial.yaml:3:24
      |
    3 | - {name: linalool, ec: 201-134-5, percent: 2}
      |                        ^^^^^^^^^ here
      |
    help: copy it again from section 3 of the sheet
    "#);
}

#[test]
fn a_pasted_line_that_cannot_be_read_is_told() {
    assert_snapshot!(classified("- \"linalool; 78-70-7; 2 %; Skin Sens. 1B; H317\""), @r#"
    exit code 2
    --- stderr
    error[file/composition-line]: `78-70-7` is neither a CAS nor an EC number: its last digit does not fit the others
     --> trial.yaml:3:3
      |
    3 | - "linalool; 78-70-7; 2 %; Skin Sens. 1B; H317"
      |   ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ here
      |
    help: copy it again from section 3 of the sheet
    "#);
}

#[test]
fn more_than_the_whole_is_told() {
    assert_snapshot!(classified("- {name: linalool, percent: 60}\n- {name: wax, percent: 45}"), @r#"
    exit code 2
    --- stderr
    error[file/over-the-whole]: the composition comes to 105.0 %, counted by the lower ends
     --> trial.yaml:3:4
      |
    3 | - {name: linalool, percent: 60}
      |    ^^^^ from here
    4 | - {name: wax, percent: 45}
      |    ---- to here
      |
    help: copy the percentages again: together the lower ends are at most 100 %
    "#);
}

#[test]
fn a_mixture_tells_its_classes_with_the_reasons() {
    let lines = "- \"linalool; 78-70-6; 1.6 %; Skin Sens. 1B; H317; Skin Irrit. 2 (H315)\"\n\
                 - \"d-limonene; 5989-27-5; 0.8 %; Skin Sens. 1B, H317; Aquatic Chronic 1, H410; M=1\"\n\
                 - {name: wax, percent: 97.6}";
    assert_snapshot!(classified(lines), @r#"
    exit code 0
    --- stdout
    Trial, CLP of the EU and Northern Ireland on 2026-11-25

    classes
      Skin Sens. 1, H317
          linalool 1.6 %: 1.6 times its limit of 1 %
      Aquatic Chronic 3, H412: 3.2 times the limit in sum
          d-limonene 0.8 %: 320.0 % of the limit of 0.25 %

    named on the label beside those that cause the class
      d-limonene 0.8 %: 8 times its limit of 0.1 %

    label
      GHS07; Warning
      H317: May cause an allergic skin reaction.
      H412: Harmful to aquatic life with long lasting effects.
      P102: Keep out of reach of children.
      P273: Avoid release to the environment.
      P280: Wear protective gloves.
      P302+P352: IF ON SKIN: Wash with plenty of water.
      P333+P313: If skin irritation or rash occurs: Get medical advice/attention.
      P501: Dispose of contents/container in accordance with local regulations.
      names: linalool, d-limonene
    "#);
}
