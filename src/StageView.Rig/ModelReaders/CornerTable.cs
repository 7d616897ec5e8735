using System.Numerics;

namespace StageView.Rig.ModelReaders;

/// <summary>Finds the first of equal corners by a hash: four bytes a place, so that large models fit.</summary>
internal sealed class CornerTable
{
    private readonly int[] _places;

    /// <param name="corners">How many there will be.</param>
    public CornerTable(int corners)
    {
        _places = new int[BitOperations.RoundUpToPowerOf2((uint)Math.Max(16, corners + (corners / 2)))];
        Clear();
    }

    public void Clear() => Array.Fill(_places, -1);

    /// <summary>
    /// The first corner at the same place (and with the same normal and paint, where they count); the corner itself when it is the first.
    /// </summary>
    public int Find(int corner, List<Vector3> positions, Vector3[]? normals, List<Vector3>? painted = null)
    {
        var paint = painted is null ? Vector3.Zero : painted[corner];
        var hash = (uint)(normals is null ? positions[corner].GetHashCode() : HashCode.Combine(positions[corner], normals[corner], paint)) * 2654435769u;
        for (var at = (hash >> 7) & (uint)(_places.Length - 1); ; at = (at + 1) & (uint)(_places.Length - 1))
        {
            var other = _places[at];
            if (other < 0)
            {
                _places[at] = corner;
                return corner;
            }

            if (positions[other] == positions[corner] && (normals is null || normals[other] == normals[corner])
                && (painted is null || painted[other] == paint))
            {
                return other;
            }
        }
    }
}
