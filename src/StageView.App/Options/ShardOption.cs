using System.CommandLine;
using System.Globalization;
using StageView.Show;

namespace StageView.App.Options;

/// <summary><c>--shard 2/5</c>: the second of five machines that share the work.</summary>
internal static class ShardOption
{
    public static Option<string?> Build() =>
        new("--shard") { Description = "Take only a part of the frames, such as 2/5 for the second of five machines.", HelpName = "N/OF" };

    public static (int Shard, int Of) Read(string? text)
    {
        if (text is null)
        {
            return (1, 1);
        }

        var parts = text.Split('/');
        return parts.Length == 2
            && int.TryParse(parts[0], NumberStyles.None, CultureInfo.InvariantCulture, out var n)
            && int.TryParse(parts[1], NumberStyles.None, CultureInfo.InvariantCulture, out var of)
            && of is >= 1 and <= 1000 && n >= 1 && n <= of
            ? (n, of)
            : throw StopException.Wrong($"--shard {text} is no share: write N/OF, such as 2/5, N from 1 to OF, OF at most 1000");
    }
}
