import { Component } from "preact";
import type { Check } from "../../api/types";
import { Meter } from "../../parts/meter";
import { Mark } from "../../parts/verdict";
import { selectCheck } from "../../state/lit";
import { hovered } from "../../state/selection";
import { isRule, percent } from "./filter";
import { toggleOpened } from "./opened";
import { showInDescription, showOnMachine, WorkingOf } from "./working";

interface Props {
  check: Check;
  open: boolean;
  lit: boolean;
  reach: boolean;
  onReach: (id: string) => void;
}

/**
 * Line is one check. It is compared anew each time: where lines that did not
 * change are left out, each of them ties the list that it was made for to later
 * ones, and no list of an older judgement is ever let go.
 */
export class Line extends Component<Props> {
  private readonly act = (): void => {
    selectCheck(this.props.check);
    toggleOpened(this.props.check.id);
  };

  private readonly keys = (e: KeyboardEvent): void => {
    if (e.ctrlKey || e.metaKey || e.altKey) return;
    if (e.key === "m") showOnMachine(this.props.check);
    else if (e.key === "d") showInDescription(this.props.check);
    else return;
    e.preventDefault();
  };

  override render({ check, open, lit, reach, onReach }: Props) {
    const rule = isRule(check);
    return (
      <li class={`line line-${check.verdict}${lit ? " lit" : ""}`} data-check={check.id}>
        <button
          type="button"
          class="line-head"
          aria-expanded={open}
          tabIndex={reach ? 0 : -1}
          onClick={this.act}
          onKeyDown={this.keys}
          onFocus={() => onReach(check.id)}
          onPointerEnter={() => {
            hovered.value = check.part ?? [];
          }}
          onPointerLeave={() => {
            hovered.value = [];
          }}
        >
          <Mark verdict={check.verdict} word={false} />
          <span class="line-title">{check.title}</span>
          <span class="line-used">{rule ? check.shown.outcome : percent(check.utilisation)}</span>
          <span class="line-numbers">
            <span aria-hidden="true" class={`line-word mark-${check.verdict}`}>
              {check.verdict}
            </span>
            <span class="line-figures" hidden={rule || check.shown.outcome === ""}>
              {check.shown.outcome ?? check.shown.value}
            </span>
            <span class="line-subject">{check.subject}</span>
          </span>
          <span class="line-id">{check.id}</span>
          {!rule && <Meter used={check.utilisation} verdict={check.verdict} />}
        </button>
        {open && <WorkingOf check={check} />}
      </li>
    );
  }
}
