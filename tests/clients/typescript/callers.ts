// The three callers, written against the generated types: a web shop, a class organizer and a mobile app.
// `service.ts` beside this file is generated from the document.
import assert from "node:assert/strict";
import createClient from "openapi-fetch";
import type { components, paths } from "./service.js";

type Schemas = components["schemas"];

const address = process.argv[2];
assert(address, "give the address of the service");
const service = createClient<paths>({ baseUrl: address });

const gauge: Schemas["GaugeRequest"] = { stitches_per_10cm: 18.5, rounds_per_10cm: 11.5, washed: true };
const cables: Schemas["Fabric"] = {
  stitch: "dc",
  columns: [
    { face: "back", width: 2 },
    { face: "front", width: 4, crossing: { over: 2, lean: "right" } },
  ],
  round_repeat_count: 4,
};
const order: Schemas["HatPlanRequest"] = {
  head: { circumference_cm: 57.5 },
  gauge,
  fabric: cables,
  brim: { fabric_id: "post-rib-1x1", round_count: 5 },
  yarn: { weight_category: 4, ball: { mass_g: 50, length_m: 85 }, fibre: "wool" },
  certainty_percent: 95,
  show_working: true,
};

/** Returns how many stitches a step makes; repeats hold steps again. */
function stitchesMade(step: Schemas["Step"]): number {
  switch (step.op) {
    case "repeat":
      return (step.times ?? 0) * (step.steps ?? []).reduce((sum, inner) => sum + stitchesMade(inner), 0);
    case "into_one":
      return (step.stitches ?? []).length;
    case "together":
      return 1;
    case "cross":
      return 2 * (step.over ?? 0);
    case "chain":
      return step.counts_as_stitch_count ?? 0;
    case "skip":
      return 0;
    default:
      return step.count ?? 0;
  }
}

async function planAHat(): Promise<void> {
  const { data: plan, error } = await service.POST("/v1/hat-plans", { body: order });
  assert(plan, error?.detail ?? "no plan");

  const circumference: number = plan.finished_circumference_cm;
  const brim: number | null = plan.counts.brim;
  const ballCount: number | null | undefined = plan.yarn?.buy.ball_count;
  assert(circumference > 45 && brim !== null && ballCount && ballCount > 0);
  assert.equal(plan.crown?.stitch_counts.length, plan.rounds.filter((each) => each.section === "crown").length);
  for (const round of plan.rounds) {
    const made = round.steps.reduce((sum, step) => sum + stitchesMade(step), 0);
    const chain = round.start?.counts_as_stitch ? 1 : 0;
    assert.equal(made + chain, round.stitch_count, round.text);
  }
  const values: (number | string)[] = plan.assumptions.map((each) => each.value);
  const formulas: string[] = (plan.working ?? []).map((each) => each.formula);
  assert(values.length > 0 && formulas.length > 0);
}

async function planAHatWithoutABrim(): Promise<void> {
  const { data: plan, error } = await service.POST("/v1/hat-plans", { body: { ...order, brim: null } });
  assert(plan, error?.detail ?? "no plan");

  assert.equal(plan.counts.brim, null);
}

async function takeARefusal(): Promise<void> {
  const hurried = { ...order, crown_round_count: 2 };
  const { error, response } = await service.POST("/v1/hat-plans", { body: hurried });

  assert.equal(response.status, 422);
  assert(error && error.type === "/problems/crown-cannot-close");
  const enough: number = error.smallest_round_count;
  const { data: plan } = await service.POST("/v1/hat-plans", {
    body: { ...order, crown_round_count: enough },
  });
  assert.equal(plan?.crown?.stitch_counts.length, enough);
}

async function drawTheHat(): Promise<void> {
  const { data: drawing } = await service.POST("/v1/drawings", {
    body: { ...order, kind: "hat_view" },
    parseAs: "text",
  });

  assert(drawing?.includes("<svg"));
}

async function runAClass(): Promise<void> {
  const participants: Schemas["ParticipantRequest"][] = Array.from({ length: 30 }, (_, seat) => ({
    reference: `seat-${seat + 1}`,
    // The last one was typed in the wrong unit.
    head: seat === 29 ? { circumference_cm: 5.7 } : { circumference_cm: 54 + (seat % 8) },
    yarn_choice: seat % 2,
  }));
  const yarn: Schemas["YarnRequest"] = { weight_category: 4, ball: { mass_g: 50, length_m: 85 } };
  const signup: Schemas["ClassKitRequest"] = {
    participants,
    design: { gauge, fabric: { fabric_id: "cable-2x2" } },
    yarns: [
      { ...yarn, name: "Harbour wool", colour: "slate blue" },
      { ...yarn, name: "Harbour wool", colour: "sand" },
    ],
    class_hours: 3,
  };
  const { data: kits, error } = await service.POST("/v1/class-kits", { body: signup });
  assert(kits, error?.detail ?? "no kits");

  assert.equal(kits.kits.length, 30);
  assert.equal(kits.totals.problem_count, 1);
  const refused = kits.kits.at(-1)?.problem;
  assert.equal(refused?.errors?.[0]?.pointer, "/participants/29/head/circumference_cm");
  const pooled = kits.yarns.reduce((sum, each) => sum + (each.balls?.pooled ?? 0), 0);
  const byKit = kits.yarns.reduce((sum, each) => sum + (each.balls?.by_kit ?? 0), 0);
  assert(pooled > 0 && pooled <= byKit);
  const { data: list } = await service.POST("/v1/shopping-lists", { body: signup });
  // The list is made as JSON or, for those who ask, as a table.
  assert(typeof list === "object");
  assert.equal(list.yarns.reduce((sum, each) => sum + (each.by_kit_ball_count ?? 0), 0), byKit);
  assert.equal(list.left_out[0]?.reference, "seat-30");
}

async function reviseAHat(): Promise<void> {
  const { data: revision, error } = await service.POST("/v1/hat-revisions", {
    body: { plan: order, state: { round: 9, circumference_cm: 58, mass_left_g: 92 } },
  });
  assert(revision, error?.detail ?? "no revision");

  const [best] = revision.options;
  assert(best && revision.options.some((option) => option.action === "go_on"));
  const lasts: number | undefined = best.yarn?.lasts_probability;
  assert(lasts !== undefined && lasts >= 0 && lasts <= 1);
  assert.equal(best.rounds[0]?.round, best.from_round);
  assert(revision.gauge_as_worked.stitches_per_10cm < gauge.stitches_per_10cm);
}

const checks = {
  "a shop plans a hat": planAHat,
  "a shop plans a hat without a brim": planAHatWithoutABrim,
  "a shop takes a refusal": takeARefusal,
  "a shop draws a hat": drawTheHat,
  "an organizer runs a class of 30": runAClass,
  "a maker revises a hat": reviseAHat,
};

for (const [name, check] of Object.entries(checks)) {
  try {
    await check();
    console.log(`passed: TypeScript, ${name}`);
  } catch (error) {
    console.log(`failed: TypeScript, ${name}: ${error instanceof Error ? error.message : String(error)}`);
    process.exitCode = 1;
  }
}
