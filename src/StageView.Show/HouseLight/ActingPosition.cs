using System.Globalization;
using System.Numerics;
using StageView.Light.Grids;

namespace StageView.Show.HouseLight;

/// <summary>A place where somebody's face is.</summary>
/// <param name="Place">The area, focus point, performer or point asked for.</param>
/// <param name="Number">Which one of the place, from 1; 0 for the only one.</param>
/// <param name="Point">m.</param>
/// <param name="IsAim">Whether lanterns may be aimed at it; of areas with many points only some are.</param>
public sealed record ActingPosition(string Place, int Number, Vector3 Point, bool IsAim)
{
    public string Name => Number > 0 ? string.Create(CultureInfo.InvariantCulture, $"{Place} {Number}") : Place;

    /// <summary>Where the face looks, unit and level.</summary>
    internal static Vector3 Facing(Quantity quantity, Vector3 point)
    {
        var way = quantity.Kind switch
        {
            QuantityKind.Vertical or QuantityKind.SemiCylindrical => quantity.Argument,
            QuantityKind.TowardPoint => quantity.Argument - point,
            _ => -Vector3.UnitY,
        };
        way.Z = 0;
        return way.LengthSquared() < 1e-6f ? -Vector3.UnitY : Vector3.Normalize(way);
    }

    /// <summary>What a light from a direction gives, as a share of what it gives a plane that faces it.</summary>
    /// <param name="quantity">What is measured.</param>
    /// <param name="point">Where, m.</param>
    /// <param name="towards">Unit vector to the light.</param>
    internal static float Weight(Quantity quantity, Vector3 point, Vector3 towards)
    {
        var level = MathF.Sqrt(MathF.Max(0, 1 - (towards.Z * towards.Z)));
        return quantity.Kind switch
        {
            QuantityKind.TowardPoint => MathF.Max(0, Vector3.Dot(Vector3.Normalize(quantity.Argument - point), towards)),
            QuantityKind.Cylindrical => level / MathF.PI,
            // sin ε (1 + cos α) / π, EN 13201-3; level × cos α is the part along the facing.
            QuantityKind.SemiCylindrical => (level + Vector3.Dot(Facing(quantity, point), towards)) / MathF.PI,
            _ => MathF.Max(0, Vector3.Dot(Facing(quantity, point), towards)),
        };
    }

    /// <summary>Positions in few words: "actor-line 3 to 7, mark".</summary>
    internal static string Runs(IEnumerable<ActingPosition> positions)
    {
        var said = new List<string>();
        foreach (var place in positions.GroupBy(p => p.Place))
        {
            var numbers = place.Select(p => p.Number).Order().ToList();
            var runs = new List<string>();
            for (int i = 0, next; i < numbers.Count; i = next)
            {
                next = i + 1;
                while (next < numbers.Count && numbers[next] == numbers[next - 1] + 1)
                {
                    next++;
                }

                runs.Add(string.Create(CultureInfo.InvariantCulture, $"{numbers[i]}{(next > i + 1 ? $" to {numbers[next - 1]}" : "")}"));
            }

            said.Add(numbers is [0] ? place.Key : $"{place.Key} {string.Join(", ", runs)}");
        }

        return string.Join("; ", said);
    }
}
