// A figure that shows where each measure is taken; each line belongs to the field of its number.

import { s } from "./dom.js";

// Lines of the front view, in a box of 200 by 400; the dashed one is taken at the back.
const LINES = {
  height: { d: "M22 18V382M14 18H30M14 382H30", at: [22, 210] },
  neck: { d: "M90 88Q100 95 110 88", at: [126, 74] },
  shoulder: { d: "M110 92L133 102", at: [143, 92] },
  chest: { d: "M70 136Q100 147 130 136", at: [84, 137] },
  back_waist: { d: "M100 86V182", dashes: true, at: [100, 116] },
  bust_height: { d: "M92 88L86 138", at: [77, 106] },
  bust_span: { d: "M86 138H114", at: [116, 152] },
  front_waist: { d: "M109 88L114 138V186", at: [121, 170] },
  waist: { d: "M73 182Q100 192 127 182", at: [86, 182] },
  hip: { d: "M66 222Q100 233 134 222", at: [100, 219] },
  arm: { d: "M139 108L160 164L169 214", at: [172, 160] },
  upper_arm: { d: "M131 143L151 137", at: [159, 132] },
  wrist: { d: "M158 212L175 207", at: [184, 214] },
  rise: { d: "M60 182V232M56 182H64M56 232H64", at: [52, 250] },
};

const BODY = [
  // head and hair
  "M100 18C118 18 124 34 122 50C120 66 111 77 100 77C89 77 80 66 78 50C76 34 82 18 100 18Z",
  // trunk
  "M92 74V86Q90 91 82 94L66 101Q60 105 61 112L70 138Q75 160 73 182Q66 204 64 230H136Q134 204 127 182"
    + "Q125 160 130 138L139 112Q140 105 134 101L118 94Q110 91 108 86V74",
  // arms
  "M62 106Q54 118 50 140L40 166L28 206Q24 216 28 220Q33 222 36 214L52 172L68 142",
  "M138 106Q146 118 150 140L160 166L172 206Q176 216 172 220Q167 222 164 214L148 172L132 142",
  // legs
  "M64 230L70 300L74 366Q66 376 70 381H92L94 366L98 258H102L106 366L108 381H130Q134 376 126 366L130 300L136 230",
];

export function figure(measures, onpick) {
  const marks = new Map();
  const parts = measures.flatMap(({ name, label }, index) => {
    const line = LINES[name];
    if (!line) return [];
    const [x, y] = line.at;
    const group = s("g", { class: "mark", "data-measure": name, onclick: () => onpick(name) },
      s("title", {}, `${index + 1} ${label}`),
      s("path", { d: line.d, class: "grip" }),
      s("path", { d: line.d, class: `line${line.dashes ? " back" : ""}` }),
      s("circle", { cx: x, cy: y - 3.5, r: 7.5 }),
      s("text", { x, y, "text-anchor": "middle" }, String(index + 1)));
    marks.set(name, group);
    return [group];
  });
  const node = s("svg", { class: "figure", viewBox: "0 0 200 400", role: "img", "aria-label":
      "A child from the front; numbered lines show where each measure is taken, the dashed one at the back." },
    BODY.map((d) => s("path", { class: "body", d })), parts);
  return { node, mark: (name, on) => marks.get(name)?.classList.toggle("on", on) };
}
