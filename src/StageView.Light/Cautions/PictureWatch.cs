using System.Numerics;
using StageView.Light.Cautions.Flashes;
using StageView.Light.Cautions.Limits;
using StageView.Light.Moments;

namespace StageView.Light.Cautions;

/// <summary>
/// Flashes in the picture of a camera, at its own exposure: a screen shows 1.2 × 2^EV cd/m² and more as white. How large the picture will be seen isn't known,
/// so by both rules areas add up over the whole of it.
/// </summary>
public sealed class PictureWatch
{
    private const int Columns = 42;
    private const int Rows = 24;
    private readonly FlashMeter? _broadcast;
    private readonly Vector3[] _cells = new Vector3[Columns * Rows];
    private readonly float _exposure;
    private readonly float _white;

    /// <param name="camera">The camera.</param>
    /// <param name="limits">Null for the defaults.</param>
    /// <param name="field">What it sees, shared with cameras that differ in nothing but exposure; null to look by itself.</param>
    public PictureWatch(Camera camera, CautionLimits? limits = null, SeenField? field = null)
    {
        ArgumentNullException.ThrowIfNull(camera);
        limits ??= CautionLimits.Default;
        if (limits.Fault() is { } fault)
        {
            throw new ArgumentException(fault, nameof(limits));
        }

        (Camera, Field) = (camera, field ?? FieldOf(camera));
        _white = (float)limits.WhiteCandela;
        _exposure = _white / (1.2f * MathF.Pow(2, camera.Ev100));
        var (wcag, broadcast) = (FlashRule.Wcag(limits), FlashRule.Broadcast(limits));
        Wcag = new FlashMeter(Field.Grid, wcag);
        _broadcast = wcag.Agrees(broadcast) ? null : new FlashMeter(Field.Grid, broadcast);
    }

    public Camera Camera { get; }

    /// <summary>What the camera sees; read it before <see cref="Add"/>.</summary>
    public SeenField Field { get; }

    /// <summary>Flashes by WCAG 2.2.</summary>
    public FlashMeter Wcag { get; }

    /// <summary>Flashes by ITU-R BT.1702; the same meter where both rules ask the same.</summary>
    public FlashMeter Broadcast => _broadcast ?? Wcag;

    /// <summary>The field of a camera's picture, 16 by 9 or nearly so.</summary>
    public static SeenField FieldOf(Camera camera)
    {
        ArgumentNullException.ThrowIfNull(camera);
        var height = Math.Min(170, camera.VerticalFieldRadians * 180 / Math.PI);
        return new SeenField(new FieldSampler(FieldGrid.Lens(height, Columns, Rows)), camera.Position, camera.Target - camera.Position, camera.Up);
    }

    /// <summary>The moment that <see cref="Field"/> read last.</summary>
    /// <param name="seconds">Show time, s, not before the last one.</param>
    public void Add(double seconds)
    {
        var seen = Field.Cells;
        for (var i = 0; i < _cells.Length; i++)
        {
            _cells[i] = Vector3.Clamp(seen[i] * _exposure, Vector3.Zero, new Vector3(_white));
        }

        Wcag.Add(seconds, _cells);
        _broadcast?.Add(seconds, _cells);
    }
}
