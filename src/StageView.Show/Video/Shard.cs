using System.Globalization;

namespace StageView.Show.Video;

/// <summary>One share of a render: number <see cref="Index"/> (from 1) of <see cref="Count"/>.</summary>
public readonly record struct Shard(int Index, int Count)
{
    public const string Help = "render only share K of N, written K/N with K from 1; 'stageview join' puts the shares together";

    public const int Most = 10_000;

    public static Shard Whole => new(1, 1);

    public bool IsWhole => Count == 1;

    public override string ToString() => $"{Index}/{Count}";

    public static bool TryParse(string text, out Shard shard)
    {
        shard = Whole;
        var parts = text.Split('/');
        if (parts.Length != 2
            || !int.TryParse(parts[0], NumberStyles.None, CultureInfo.InvariantCulture, out var k)
            || !int.TryParse(parts[1], NumberStyles.None, CultureInfo.InvariantCulture, out var n)
            || n is < 1 or > Most || k < 1 || k > n)
        {
            return false;
        }

        shard = new Shard(k, n);
        return true;
    }
}
