use crate::machines::{circle, machine, machines};
use crate::maker::{Breach, Job};
use spokeshave_sim::check::Report;
use spokeshave_sim::motion::Point;

fn ratios(report: &Report) -> Vec<String> {
    report
        .checks
        .iter()
        .filter(|c| c.name.ends_with("d acceleration") || c.name.ends_with("corner acceleration"))
        .map(|c| {
            format!(
                "{:.3}@{:?}/{:?}",
                c.worst / c.limit
                    * match c.name {
                        "bend acceleration" => 1.1,
                        "close corner acceleration" => 1.4,
                        _ => 2.1,
                    },
                c.line,
                c.axis
            )
        })
        .collect()
}

fn led(r: f64, chord: f64) -> Vec<Point> {
    let mut p = vec![[r, -40.0, 0.0]];
    p.extend(circle(r, chord));
    p.push([r, 40.0, 0.0]);
    p
}

#[test]
fn explore() {
    for machine in machines() {
        let v = 2500f64.sqrt();
        if machine.axes[0].speed_limit_mm_s < 1.2 * v {
            continue;
        }
        for chord in [
            0.02, 0.05, 0.1, 0.2, 0.25, 0.3, 0.4, 0.5, 0.6, 0.7, 0.75, 0.8, 0.85,
        ] {
            let a = Job::new(machine.clone(), &led(5.0, chord), Some(v)).run(&Breach::default());
            let b =
                Job::new(machine.clone(), &led(5.0, chord), Some(1.15 * v)).run(&Breach::default());
            println!(
                "{} {} chord {chord}: {:?}   fast {:?}",
                machine.axes[0].steps_per_mm,
                machine.controller.timer_hz,
                ratios(&a),
                ratios(&b)
            );
        }
    }
}
#[test]
fn debugit() {
    let mut m = machine(400.0, 1_000_000);
    m.junction_deviation_mm = 0.07125569059766235;
    m.axes[1].steps_per_mm = 360.0;
    m.axes.iter_mut().for_each(|a| a.acceleration_limit_mm_s2 *= 0.1);
    let j = Job::new(m, &[[0.0; 3], [0.0, 9.073, 0.0], [0.0, 9.103070549319574, -0.032], [0.0, 11.997795787444716, -0.032]], None);
    println!("{:?}", ratios(&j.run(&Breach::default())));
}
