import { useMemo, useState } from "preact/hooks";
import { type KeptPlan, type Plan } from "../api";
import { Lines } from "../charts/Lines";
import { fixed } from "../format";
import type { SurveyView } from "../pages/VisitPage";
import { Needs, Section, Trouble } from "../parts";
import { planAnswer } from "../sentences";
import { AskForm, Running, useSearch } from "./PlanSearch";
import { PlanShown } from "./PlanShown";

/** What to load: a search that can be watched and stopped, and the plans found so far. */
export function PlanSection({ view, onPlans }: { view: SurveyView; onPlans: () => void }) {
  const { magnet, assessment } = view;
  const plans = magnet.plans.filter((p) => p.plan?.survey === view.file);
  const [chosen, setChosen] = useState<string | null>(null);
  const plan = plans.find((p) => p.id === chosen) ?? plans[plans.length - 1] ?? null;
  const search = useSearch(view, (done) => {
    setChosen(done);
    onPlans();
  });
  const p = plan?.plan;
  return (
    <Section
      id="plan"
      question="What should be loaded?"
      answer={
        p
          ? planAnswer(plan?.id ?? "", p, assessment.centre)
          : "No plan has been made from this survey."
      }
      next={
        p
          ? "Take the loading sheet to the bench. Load, let the iron come to temperature, survey again, and compare below."
          : "Say what matters, and search. It can be stopped at any time; the best so far is kept."
      }
    >
      <Needs role="measure" to="Searching for a plan">
        <AskForm view={view} search={search} />
      </Needs>
      {search.problem && <Trouble problem={search.problem} />}
      {search.state && search.state.state !== "done" && <Running search={search} view={view} />}
      {plans.length > 1 && (
        <fieldset class="surveys">
          <legend>Plan looked at</legend>
          {plans.map((x) => (
            <label key={x.id} class={x.id === plan?.id ? "chip chip-on" : "chip"}>
              <input type="radio" name="plan" checked={x.id === plan?.id} onChange={() => setChosen(x.id)} />
              {x.id}: {fixed(x.plan?.planned_ppm, 2)} ppm, {fixed((x.plan?.mass_added_g ?? 0) / 1000, 2)} kg
            </label>
          ))}
        </fieldset>
      )}
      {plan && p && <PlanShown view={view} kept={plan} />}
      {plans.length > 1 && <Choice view={view} plans={plans} />}
    </Section>
  );
}

/** The plans made so far as points of what uniformity costs. */
function Choice({ view, plans }: { view: SurveyView; plans: KeptPlan[] }) {
  return (
    <figure>
      <div class="two">
        <Cost plans={plans} axis="iron going in, kg" of={(p) => p.mass_added_g / 1000} />
        <Cost plans={plans} axis="pockets touched" of={(p) => p.pockets_touched} />
      </div>
      <figcaption>
        The plans made from {view.file}: uniformity against what it costs (large dots planned, small grey ones promised in 95
        of 100).
      </figcaption>
    </figure>
  );
}

function Cost({ plans, axis, of }: { plans: KeptPlan[]; axis: string; of: (plan: Plan) => number }) {
  const sorted = useMemo(
    () => plans.flatMap((p) => (p.plan ? [p.plan] : [])).sort((a, b) => of(a) - of(b)),
    [plans],
  );
  const curves = useMemo(
    () => [
      { label: "planned", values: sorted.map((p) => p.planned_ppm), dots: 8 },
      { label: "promised", values: sorted.map((p) => p.promised_ppm_95), dots: 5, colour: "#888" },
    ],
    [sorted],
  );
  return <Lines x={sorted.map(of)} xLabel={axis} yLabel="ppm" curves={curves} height={200} description={`Plans made so far, ppm against ${axis}`} />;
}
