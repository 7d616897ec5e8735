using System.Numerics;
using StageView.Ground.Numbers;
using StageView.Light.Geometry;
using StageView.Rig.Profiles;
using StageView.Stage.Programs;
using StageView.Stage.State;

namespace StageView.Stage.Optics;

/// <summary>The values of all channels that act on an emitter, gathered at one instant.</summary>
internal struct EmitterValues
{
    /// <summary>A shake swings the gobo by this share of the field's radius to either side.</summary>
    private const float ShakeSwing = .15f;

    /// <summary>Distance between neighbouring gobos on a wheel, in field radii.</summary>
    private const float SlotPitch = 2.2f;

    /// <summary>Smallest opening of an iris.</summary>
    private const float LeastIris = .05f;

    public Vector3 AddXyz;
    public Vector3 Filter = Vector3.One;
    public float Zoom, Iris = 1, Frost, Focus, Cyan, Magenta, Yellow, TemperatureFlag, Kelvin, Duv, Hue, Saturation, CieX = -1, CieY;
    public bool HasHsb, HasMix;

    /// <summary>A colour chosen instead of what the additive channels mix, linear Rec.709 of the full light, or null.</summary>
    public Vector3? Preset;

    /// <summary>Red, green and blue that indirect cyan, magenta and yellow leave, 0 to 1.</summary>
    public Vector3 Mixed = Vector3.One;

    /// <summary>Whether <see cref="Kelvin"/> is reached by filtering the source.</summary>
    public bool IsFlag;
    public Prisms Prisms;
    public GoboLayers Gobos;
    public BladeEdges Blades = new();

    /// <summary>The figure of the gobo slot in the way, 1-based; 0 for none.</summary>
    public int Scan;
    private Vector3 _lines;

    public EmitterValues()
    {
    }

    public readonly float Line(int i) => i switch { 0 => _lines.X, 1 => _lines.Y, _ => _lines.Z };

    public void Read(FixtureRun run, EmitterCode code, double t)
    {
        Filter = run.Fixture.Filter;
        foreach (var c in code.Channels)
        {
            if (run.FunctionOf(c) is not { } f)
            {
                continue;
            }

            var v = run.ValueAt(c, t);
            switch (f.Op)
            {
                case AttributeOp.Add:
                    AddXyz += f.AddAt(Math.Clamp(v, 0, 1));
                    _lines += f.Line switch { 0 => new(v, 0, 0), 1 => new(0, v, 0), 2 => new(0, 0, v), _ => Vector3.Zero };
                    break;
                case AttributeOp.Zoom:
                    Zoom = v;
                    break;
                case AttributeOp.Iris:
                    Iris *= Math.Clamp(v, LeastIris, 1);
                    break;
                case >= AttributeOp.IrisStrobe and <= AttributeOp.IrisRandomClosing:
                    Iris *= Math.Clamp(Beats.Iris(run, f, c, t), LeastIris, 1);
                    break;
                case >= AttributeOp.FrostRamp and <= AttributeOp.FrostPulseClosing:
                    Frost = Math.Max(Frost, Beats.Frost(run, f, c, t));
                    break;
                case AttributeOp.Frost:
                    Frost = Math.Max(Frost, Math.Clamp(v, 0, 1));
                    break;
                case AttributeOp.Focus:
                    Focus = FocusRange.Metres(Math.Max(f.Source.PhysicalFrom, f.Source.PhysicalTo), v);
                    break;
                case AttributeOp.Cyan:
                    Cyan = f.Insertion(Math.Clamp(v, 0, 1));
                    break;
                case AttributeOp.Magenta:
                    Magenta = f.Insertion(Math.Clamp(v, 0, 1));
                    break;
                case AttributeOp.Yellow:
                    Yellow = f.Insertion(Math.Clamp(v, 0, 1));
                    break;
                case AttributeOp.MixCyan or AttributeOp.MixMagenta or AttributeOp.MixYellow:
                    (Mixed[f.Op - AttributeOp.MixCyan], HasMix) = (1 - Math.Clamp(v, 0, 1), true);
                    break;
                case AttributeOp.ToOrange or AttributeOp.ToBlue or AttributeOp.Temperature:
                    Temperature(f, v);
                    break;
                case AttributeOp.Tint:
                    // Full tint is .02 off the locus in CIE 1960 u, v, towards green for positive values (our reading; the standard gives no unit).
                    Duv = v * .02f;
                    break;
                case AttributeOp.Hue:
                    (Hue, HasHsb) = (v, true);
                    break;
                case AttributeOp.Saturation:
                    (Saturation, HasHsb) = (v, true);
                    break;
                case AttributeOp.CieX:
                    CieX = v;
                    break;
                case AttributeOp.CieY:
                    CieY = v;
                    break;
                case AttributeOp.ColourWheel or AttributeOp.ColourWheelIndex or AttributeOp.ColourWheelSpin:
                    if ((f.Op != AttributeOp.ColourWheel || run.Wheel[c] > 0) && (!code.Mixes || run.Program.Channels[c].IsMoved))
                    {
                        ColourAt(f.Slots, run.Travels[f.Mover].PositionAt(t), code.IsAdditive);
                    }

                    break;
                case AttributeOp.ColourWheelRandom:
                    ColourAt(f.Slots, Beats.Slot(run, f, c, t), code.IsAdditive);
                    break;
                case AttributeOp.GoboWheelRandom:
                    GoboAt(f, Beats.Slot(run, f, c, t));
                    break;
                case AttributeOp.ColourMacro:
                    Macro(run, code, f, c);
                    break;
                case AttributeOp.GoboWheel or AttributeOp.GoboWheelIndex or AttributeOp.GoboWheelSpin:
                    if (f.Op != AttributeOp.GoboWheel || run.Wheel[c] > 0)
                    {
                        GoboAt(f, run.Travels[f.Mover].PositionAt(t));
                    }

                    break;
                case AttributeOp.GoboShake:
                    if (run.Wheel[c] > 0)
                    {
                        GoboAt(f, run.Wheel[c]);
                    }

                    Gobos.Shake(f.Number, ShakeSwing * Trig.Sin((float)(2 * Math.PI * (run.Travels[f.Mover].PositionAt(t) % 1))));
                    break;
                case AttributeOp.GoboSelectTurn:
                    if (run.Wheel[c] > 0)
                    {
                        GoboAt(f, run.Wheel[c]);
                    }

                    Gobos.Turn(f.Number, Angle(run, f, t));
                    break;
                case AttributeOp.GoboAngle or AttributeOp.GoboTurn:
                    Gobos.Turn(f.Number, Angle(run, f, t));
                    break;
                case AttributeOp.AnimationWheel:
                    Gobos.PutDisc(SlotImage(f.Slots, (int)run.Wheel[c]));
                    break;
                case AttributeOp.AnimationAngle or AttributeOp.AnimationTurn:
                    Gobos.TurnDisc(Angle(run, f, t));
                    break;
                case AttributeOp.Prism:
                    PrismAt(f, v, run.Wheel[c]);
                    break;
                case AttributeOp.PrismSelectTurn:
                    PrismAt(f, 1, run.Wheel[c]);
                    Prisms.Turn(f.Number, Angle(run, f, t));
                    break;
                case AttributeOp.PrismAngle or AttributeOp.PrismTurn:
                    Prisms.Turn(f.Number, Angle(run, f, t));
                    break;
                case AttributeOp.BladeA:
                    Blades.SetA(f.Number, v);
                    break;
                case AttributeOp.BladeB:
                    Blades.SetB(f.Number, v);
                    break;
                case AttributeOp.BladeTurn:
                    Blades.SetTurn(f.Number, v);
                    break;
                case AttributeOp.BladesTurn:
                    Blades.Assembly = v;
                    break;
                default:
                    break;
            }
        }
    }

    private static int SlotImage(WheelSlot[] slots, int slot) => slot >= 1 && slot <= slots.Length ? slots[slot - 1].GoboImage : 0;

    private static float Angle(FixtureRun run, FunctionCode f, double t) =>
        f.Mover < 0 ? 0 : (float)(run.Travels[f.Mover].PositionAt(t) % 360) * Angles.RadiansPerDegree;

    private void Temperature(FunctionCode f, float v)
    {
        // A range in kelvins names the temperature; a range up to 1 is how far the flag is in.
        if (Math.Max(f.Source.PhysicalFrom, f.Source.PhysicalTo) > 100)
        {
            Kelvin = v;
            IsFlag = f.Op != AttributeOp.Temperature;
        }
        else
        {
            TemperatureFlag = f.Insertion(Math.Clamp(v, 0, 1));
        }
    }

    /// <summary>A macro takes over from whatever else makes the colour, where it is known what it makes.</summary>
    private void Macro(FixtureRun run, EmitterCode code, FunctionCode f, int c)
    {
        if ((!code.Mixes || run.Program.Channels[c].IsMoved) && MacroColours.Of(code, f, run.Sets[c]) is { } colour)
        {
            Preset = colour;
        }
    }

    /// <param name="slots">Of the wheel.</param>
    /// <param name="position">1 on the first slot.</param>
    /// <param name="additive">Whether the emitter mixes its colours: its wheel then is a choice of mixes that takes over, but for an open first slot.</param>
    private void ColourAt(WheelSlot[] slots, double position, bool additive)
    {
        if (slots.Length == 0)
        {
            return;
        }

        // Between two slots the beam is split; its mean colour is the mix by area.
        var p = (position - 1) % slots.Length;
        p = p < 0 ? p + slots.Length : p;
        var i = (int)p;
        var colour = Vector3.Lerp(slots[i % slots.Length].Colour, slots[(i + 1) % slots.Length].Colour, (float)(p - i));
        if (!additive)
        {
            Filter *= colour;
        }
        else if (p > 1e-3 || (!slots[0].IsOpen && slots[0].Colour != Vector3.Zero))
        {
            Preset = colour;
        }
    }

    private void GoboAt(FunctionCode f, double position)
    {
        var slots = f.Slots;
        if (slots.Length == 0)
        {
            return;
        }

        var nearest = Math.Round(position);
        var slot = (int)((nearest - 1) % slots.Length);
        slot = slot < 0 ? slot + slots.Length : slot;
        Filter *= slots[slot].Colour;
        Scan = slots[slot].Scan > 0 ? slots[slot].Scan : Scan;
        if (slots[slot].GoboImage > 0)
        {
            Gobos.Put(f.Number, slots[slot].GoboImage, (float)(position - nearest) * SlotPitch);
        }
    }

    private void PrismAt(FunctionCode f, float value, float wheel)
    {
        if (f.Slots.Length > 0)
        {
            var slot = wheel > 0 || value < .5f ? f.Slots[Math.Clamp((int)wheel, 1, f.Slots.Length) - 1]
                : f.Slots.FirstOrDefault(s => s.PrismFacets > 0) ?? f.Slots[0];
            if (slot.PrismFacets > 0)
            {
                Prisms.Set(f.Number, slot.PrismFacets, slot.PrismSpread, slot.Facets);
            }
        }
        else if (value >= .5f)
        {
            Prisms.Set(f.Number, 3, 4 * Angles.RadiansPerDegree, []);
        }
    }
}
