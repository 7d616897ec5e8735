using System.Numerics;
using StageView.Light.Grids;
using StageView.Light.Interreflection;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Light.Rays;
using StageView.Rig.Pieces;
using StageView.Rig.Source;

namespace StageView.Show.Questions;

/// <summary>An area that was measured; values in lx.</summary>
public sealed record LuxArea(string Place, LuxMap Map);

/// <summary>The surface of a piece of scenery that was measured; values in lx.</summary>
public sealed record LuxPiece(string Place, MeshLux Lux);

/// <summary>A point that was measured.</summary>
/// <param name="Point">m.</param>
/// <param name="Lux">What arrives there, lx.</param>
/// <param name="Inside">The piece of scenery that the point lies inside of, where little or no light comes; else empty.</param>
public sealed record LuxPoint(Vector3 Point, PointLux Lux, string Inside);

/// <summary>Illuminance at the places asked for, each list in the order asked.</summary>
/// <param name="Asked">The question.</param>
/// <param name="Moment">The moment measured.</param>
/// <param name="Findings">Positions that front light doesn't serve as asked; empty when that wasn't asked.</param>
public sealed record LuxAnswer(
    LuxAsked Asked, Moment Moment, IReadOnlyList<LuxArea> Areas, IReadOnlyList<LuxPiece> Pieces, IReadOnlyList<LuxPoint> Points,
    IReadOnlyList<FrontLightFinding> Findings);

/// <summary>Measures illuminance at points, on areas and on scenery.</summary>
public static class LuxQuestion
{
    private const string SceneryWord = "scenery:";

    /// <exception cref="StopException">It asks for what the rig hasn't; the message names it.</exception>
    public static LuxAnswer Answer(RigScene rig, Moment moment, LuxAsked asked)
    {
        var (quantity, range) = (asked.Quantity(rig), asked.ModellingRange());
        var matt = asked.Indirect ? new MattSolver().Solve(moment, asked.Settings.ThroughHaze) : null;
        var meter = new LightMeter(moment, OcclusionScene.From(moment), asked.Settings, matt);
        var (areas, pieces, points, findings) = (new List<LuxArea>(), new List<LuxPiece>(), new List<LuxPoint>(), new List<FrontLightFinding>());
        foreach (var place in asked.On.Count > 0 ? asked.On : [.. rig.Areas.Select(a => a.Name)])
        {
            if (Texts.TryPoint(place, out var point) || (!IsArea(rig, place) && Texts.TryNamed(rig, place, out point)))
            {
                points.Add(new LuxPoint(point, PointLux.At(meter, point, quantity), FrontLight.Inside(moment, point)));
            }
            else if (place.StartsWith(SceneryWord, StringComparison.OrdinalIgnoreCase))
            {
                if (quantity.Kind != QuantityKind.Plane)
                {
                    throw StopException.Wrong(
                        $"--on {place}: on scenery light is measured on its own faces, not as --measure {asked.Measure}: ask for an area or a point");
                }

                pieces.Add(new LuxPiece(place, MeshMeter.Measure(meter, Piece(rig, moment, place[SceneryWord.Length..]))));
            }
            else
            {
                var map = GridMeter.Measure(meter, Area(rig, place), quantity);
                areas.Add(new LuxArea(place, map));
                findings.AddRange(asked.IsCheck ? FrontLight.Check(meter, place, map, asked.Least ?? 0, range) : []);
            }
        }

        if (asked.Reach is { } candidates && findings.Count > 0)
        {
            FrontLight.Reach(rig, candidates, findings, quantity, asked.Settings);
        }

        return new LuxAnswer(asked, moment, areas, pieces, points, findings);
    }

    private static bool IsArea(RigScene rig, string name) => rig.Areas.Any(a => a.Name.Equals(name, StringComparison.OrdinalIgnoreCase));

    private static MeasuringGrid Area(RigScene rig, string name)
    {
        var area = rig.Areas.FirstOrDefault(a => a.Name.Equals(name, StringComparison.OrdinalIgnoreCase))
            ?? throw StopException.Wrong($"--on {name}: {rig.File} has no area or focus point of that name"
                + rig.WhereGone(name) + Nearest.Among(name, [.. rig.Areas.Select(a => a.Name), .. rig.FocusPoints.Select(f => f.Name)]));
        return new MeasuringGrid(area.Origin, area.EdgeU, area.EdgeV, area.CountU, area.CountV, area.Normal);
    }

    private static MeshInstance Piece(RigScene rig, Moment moment, string name)
    {
        foreach (var piece in moment.Scenery.Span)
        {
            if (!piece.Name.IsNone && moment.SceneryNames[piece.Name.Value].Equals(name, StringComparison.OrdinalIgnoreCase))
            {
                return piece;
            }
        }

        throw StopException.Wrong(
            $"--on {SceneryWord}{name}: {rig.File} has no scenery of that name{rig.WhereGone(name)}; it has "
            + $"{string.Join(", ", rig.Scenery.Select(s => s.Name).Distinct())}");
    }
}
