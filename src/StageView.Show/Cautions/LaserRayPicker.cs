using StageView.Light.Cautions.Lasers;
using StageView.Light.Cautions.Limits;
using StageView.Light.Moments;

namespace StageView.Show.Cautions;

/// <summary>Picks rays for a drawing: of those that lie within a degree and 20 cm of each other the first.</summary>
internal sealed class LaserRayPicker
{
    private const int Most = 600;
    private readonly HashSet<(int Fixture, int Emitter, int Bounces, int X, int Y, int Z, int Dx, int Dy, int Dz)> _known = [];
    private readonly List<(LaserBeam Leg, double HazardDistance)> _all = [];

    public IReadOnlyList<(LaserBeam Leg, double HazardDistance)> All => _all;

    public int LeftOut { get; private set; }

    public void Take(Moment moment, in LaserBeam leg, CautionLimits limits)
    {
        static int Cell(float v, float size) => (int)MathF.Round(v / size);
        var (o, d) = (leg.Origin, leg.Direction);
        if (!_known.Add((leg.Fixture.Value, leg.Emitter, leg.Bounces, Cell(o.X, .2f), Cell(o.Y, .2f), Cell(o.Z, .2f),
            Cell(d.X, .0175f), Cell(d.Y, .0175f), Cell(d.Z, .0175f))))
        {
            return;
        }

        if (_all.Count < Most)
        {
            _all.Add((leg, LaserExposure.HazardDistance(moment, leg, limits)));
        }
        else
        {
            LeftOut++;
        }
    }
}
