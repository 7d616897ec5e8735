using System.Numerics;
using StageView.Light.Beams;
using StageView.Light.Cautions.Comfort;
using StageView.Light.Cautions.Flashes;
using StageView.Light.Cautions.Limits;
using StageView.Light.Measure;
using StageView.Light.Rays;

namespace StageView.Light.Cautions;

/// <summary>
/// Everything that is followed at one seat or point of a volume: flashes by both rules, and how bright it is. Fed moment after moment; constant memory.
/// </summary>
public sealed class PlaceWatch
{
    private readonly SeenField _field;
    private readonly FlashMeter? _broadcast;
    private BrightMoment _bright;

    /// <param name="name">What it is called.</param>
    /// <param name="eye">m.</param>
    /// <param name="forward">Where it looks, such as towards the middle of the stage.</param>
    /// <param name="limits">Null for the defaults.</param>
    /// <param name="sampler">The field and how finely it is read; null for 80 × 60° in cells of 2°.</param>
    public PlaceWatch(string name, Vector3 eye, Vector3 forward, CautionLimits? limits = null, FieldSampler? sampler = null)
    {
        limits ??= CautionLimits.Default;
        if (limits.Fault() is { } fault)
        {
            throw new ArgumentException(fault, nameof(limits));
        }

        (Name, Eye, Forward) = (name, eye, Vector3.Normalize(forward));
        sampler ??= new FieldSampler(FieldGrid.Eye(fieldDegrees: limits.FieldDegrees, cellDegrees: limits.FieldDegrees / 5));
        _field = new SeenField(sampler, eye, Forward, MathF.Abs(Forward.Z) > 0.99f ? Vector3.UnitY : Vector3.UnitZ);
        var (wcag, broadcast) = (FlashRule.Wcag(limits), FlashRule.Broadcast(limits));
        Wcag = new FlashMeter(_field.Grid, wcag);
        _broadcast = wcag.Agrees(broadcast) ? null : new FlashMeter(_field.Grid, broadcast);
    }

    public string Name { get; }

    /// <summary>m.</summary>
    public Vector3 Eye { get; }

    /// <summary>Unit vector.</summary>
    public Vector3 Forward { get; }

    /// <summary>Flashes by WCAG 2.2.</summary>
    public FlashMeter Wcag { get; }

    /// <summary>Flashes by ITU-R BT.1702; the same meter where both rules ask the same.</summary>
    public FlashMeter Broadcast => _broadcast ?? Wcag;

    public ComfortWatch Comfort { get; } = new();

    /// <summary>The field of the last moment, cd/m².</summary>
    public ReadOnlySpan<Vector3> Field => _field.Cells;

    /// <summary>The next moment.</summary>
    /// <param name="seconds">Show time, s, not before the last one; steps of a quarter of the shortest flash or less.</param>
    /// <param name="meter">The moment.</param>
    /// <param name="scene">What is looked at and stands in the way.</param>
    /// <param name="keys">The moment's keys, for several places at once; null to make them here.</param>
    public void Add(double seconds, LightMeter meter, OcclusionScene scene, MomentKeys? keys = null)
    {
        ArgumentNullException.ThrowIfNull(meter);
        _field.Read(meter, scene, keys ?? MomentKeys.Of(meter.Moment));
        var (brightest, sum, whole) = (0f, 0f, 0f);
        var cells = _field.Cells;
        var areas = _field.Grid.SolidAngles;
        for (var i = 0; i < cells.Length; i++)
        {
            var luminance = BeamPhotometry.Luminance(cells[i]);
            brightest = MathF.Max(brightest, luminance);
            sum += luminance * areas[i];
            whole += areas[i];
        }

        _bright = new BrightMoment(seconds, meter.At(Eye, Forward).Lux, brightest, sum / whole);
        Again(seconds);
    }

    /// <summary>A moment with the light of the last one.</summary>
    /// <param name="seconds">Show time, s, not before the last one.</param>
    public void Again(double seconds)
    {
        Wcag.Add(seconds, _field.Cells);
        _broadcast?.Add(seconds, _field.Cells);
        Comfort.Add(seconds, _bright.Lux, _bright.BrightestCandela, _bright.MeanCandela);
    }
}
