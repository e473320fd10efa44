// What the page is given: report.json as it is, meshes once each, sheets (see exports/viewer_payload.py). Lengths are mm.

export type Vec = readonly [number, number, number];

export interface Place {
  readonly file: string;
  readonly line: number;
  readonly label?: string;
}

export interface Reason {
  readonly what: string;
  readonly value: number;
  readonly kind: "length" | "angle" | "number";
  readonly how: string;
  readonly of: readonly number[];
  readonly default: string;
  readonly place: Place | null;
}

export interface Stock {
  readonly name: string;
  readonly kind: string;
  readonly material: string;
  readonly thickness_mm: number;
  readonly spread_mm: number;
  readonly nominal_mm: number | null;
  readonly grain: string;
  readonly colour: Vec;
}

export interface Feature {
  readonly id: string;
  readonly label: string;
  readonly joint: string;
}

export interface Part {
  readonly name: string;
  readonly stock: string;
  readonly length_mm: number;
  readonly width_mm: number;
  readonly thickness_mm: number;
  readonly why: Readonly<Record<string, number>>;
  readonly placement: readonly (readonly number[])[];
  readonly shape_key: string;
  readonly opposite_hand: string;
  readonly files: { readonly drawing: string };
  readonly show: string;
  readonly looks: Readonly<Record<string, string>>;
  readonly grain: Vec | null;
  readonly mass_kg: number | null;
  readonly features: readonly Feature[];
  readonly place: Place | null;
}

export interface Hardware {
  readonly name: string;
  readonly label: string;
  readonly placement: readonly (readonly number[])[];
  readonly joint: string;
}

export interface Fit {
  readonly kind: string;
  readonly member: string;
  readonly receiver: string;
  readonly what: string;
  readonly fit: string;
  readonly glued: boolean;
  readonly low_mm: number;
  readonly high_mm: number;
  readonly nominal_mm: number;
  readonly direction: Vec;
  readonly near: { readonly low: Vec; readonly high: Vec };
  readonly measured: { readonly mm: number; readonly at: Vec } | null;
}

export interface Joint {
  readonly id: string;
  readonly kind: string;
  readonly member: string;
  readonly receiver: string;
  readonly opens: Vec | null;
  readonly rests: boolean;
  readonly sizes: readonly { readonly name: string; readonly why: number; readonly default: boolean }[];
  readonly fits: readonly Fit[];
  readonly place: Place | null;
}

export interface Step {
  readonly number: number;
  readonly bodies: readonly string[];
  readonly direction: Vec | null;
  readonly travel_mm: number;
  readonly onto: readonly string[];
  readonly joints: readonly string[];
  readonly within: number;
}

export type Severity = "error" | "warning" | "note";

export interface Finding {
  readonly id: string;
  readonly severity: Severity;
  readonly message: string;
  readonly places: readonly Place[];
  readonly parts: readonly string[];
  readonly joint: string;
  readonly at_mm: Vec | null;
  readonly numbers: Readonly<Record<string, number | null>>;
  readonly why: string;
  readonly source: string;
  readonly change: string;
  readonly overlap: string;
  readonly waived: string;
  readonly excerpt?: string;
}

export interface Overlap {
  readonly name: string;
  readonly a: string;
  readonly b: string;
  readonly volume_mm3: number;
  readonly depth_mm: number;
  readonly at: Vec;
  readonly mesh: { readonly vertices: readonly Vec[]; readonly faces: readonly Vec[] } | null;
}

export interface Report {
  readonly piece: string;
  readonly units: "mm" | "in";
  readonly dry_fit: "passed" | "failed";
  readonly counts: Readonly<Record<string, number>>;
  readonly masses: { readonly known_kg: number; readonly parts_without_density: number };
  readonly box: { readonly low: Vec; readonly high: Vec };
  readonly stock: readonly Stock[];
  readonly parts: readonly Part[];
  readonly hardware: readonly Hardware[];
  readonly joints: readonly Joint[];
  readonly glue_up: { readonly steps: readonly Step[]; readonly sub_assemblies: readonly (readonly string[])[] } | null;
  readonly first_fit: {
    readonly odds: number;
    readonly summary: string;
    readonly fits: readonly { readonly joint: string; readonly what: string; readonly odds: number }[];
  } | null;
  readonly findings: readonly Finding[];
  readonly overlaps: readonly Overlap[];
  readonly reasons: readonly Reason[];
}

export interface Piece {
  readonly viewer: number;
  readonly report: Report;
  readonly bodies: readonly { readonly name: string; readonly mesh: number }[];
  readonly meshes: readonly { readonly vertices: string; readonly faces: string; readonly lines: string }[];
  readonly drawings: Readonly<Record<string, string>>;
}
