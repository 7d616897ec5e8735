using System.Globalization;
using StageView.Show.Questions;
using StageView.Stage.State;
using StageView.Wire.Health;
using StageView.Wire.Tallies;
using StageView.Wire.Universes;

namespace StageView.App.Printing;

/// <summary>Who drives the channels of a fixture, for people and programs.</summary>
internal static class DrivePrint
{
    /// <summary>A line for each stretch of channels that the same sources drive alike, the losers in it; nothing where nobody is known.</summary>
    public static void Print(IReadOnlyList<AttributeState> channels, IReadOnlyList<ChannelDrive> drives)
    {
        var told = channels.Zip(drives).Where(c => c.Second.Sources.Count > 0).ToList();
        for (var from = 0; from < told.Count;)
        {
            var drive = told[from].Second;
            var to = from + 1;
            while (to < told.Count && told[to].Second.IsLike(drive))
            {
                to++;
            }

            var (first, last) = (told[from].First, told[to - 1].First);
            var where = first.Addresses[0] == last.Addresses[^1] ? $"{first.Addresses[0]}" : $"{first.Addresses[0]} to {last.Addresses[^1]}";
            Console.WriteLine($"{where}: {string.Join("; ", drive.Sources.Select(s => Text(s.Source)))}"
                + (drive.IsSplit ? "; its bytes are won by different sources" : ""));
            from = to;
        }
    }

    /// <summary>The winner of a channel in a few words, with a mark where others want something else; a dot where nobody is known.</summary>
    public static string Short(ChannelDrive drive)
    {
        var first = drive.Sources.FirstOrDefault(s => s.Source.Wins)?.Source;
        var others = drive.Sources.Count(s => !s.Source.Wins && s.Source.Standing == SourceStanding.Live);
        return first is null ? "·" : (first.Name.Length > 0 ? first.Name : first.Host) + (drive.IsFought ? ", fought" : others > 0 ? $", {others} lose" : "")
            + (drive.IsSplit ? ", split" : "");
    }

    /// <summary>The sources of a channel as JSON has them.</summary>
    public static object Plain(ChannelDrive drive) => drive.Sources.Select(s => new
    {
        s.Source.Name, address = s.Source.Host, protocol = s.Source.Protocol, s.Source.Standing, s.Source.Priority, s.Source.PerAddressPriority,
        level = s.Raw, s.Source.Wins, s.Source.Why, s.Source.Fights,
    });

    private static string Text(AddressSource s) => string.Create(CultureInfo.InvariantCulture,
        $"{(s.Protocol == SourceProtocol.E131 ? "sACN " : "")}{s.Label}, priority {s.Priority}{(s.PerAddressPriority ? " (per address)" : "")} "
        + $"{FindingWords.Fate(s)}");
}
