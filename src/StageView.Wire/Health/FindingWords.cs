using System.Globalization;
using StageView.Ground.Words;
using StageView.Wire.E131;
using StageView.Wire.Tallies;

namespace StageView.Wire.Health;

/// <summary>
/// All words about what is heard, made here alone from fields: for the page, the journal and the command line, of one universe or of several.
/// Each kind of finding uses the fields that its line below names.
/// </summary>
public static class FindingWords
{
    /// <summary>One line for a finding.</summary>
    public static string Say(Finding f)
    {
        ArgumentNullException.ThrowIfNull(f);
        var where = Where(f.Universes);
        var many = f.Universes.Count > 1;
        var (are, have) = many ? ("are", "have") : ("is", "has");
        var who = string.Join(" and ", f.Sources);
        var held = f.Held ? "; its last levels are held" : "; others are heard";
        var ago = f.Seconds is null ? "" : $" {Time(f.Seconds, "F1")} ago";
        var n = f.Count ?? 0;
        var packets = Counted.Of(n, "packet", "packets");
        var within = Within(f);
        var missing = f.WithinSeconds is not null ? "went missing" + within : n == 1 ? "is missing" : "are missing";
        var beyond = many ? $"address {f.Sends + 1}" : $"{f.Universe}.{f.Sends + 1}";
        return f.Kind switch
        {
            FindingKind.PatchedButSilent => $"{where} {are} patched but silent{(f.Seconds is null ? "" : $": nothing was heard in {Time(f.Seconds, "F0")}")}",
            FindingKind.HeardButNotPatched => $"{where} {are} heard from {who} but nothing is patched there",
            FindingKind.SourcesDisagree => $"{where}: {who} fight at equal priority {f.Priority} over {AddressRanges.Write(f.Addresses)}",
            FindingKind.SharedCid =>
                $"{where}: {who} send with one CID ({f.Reason}): receivers take them for one source and drop what seems late; give each a CID of its own",
            FindingKind.BackupNeverSent => $"{where}: {who} says it offers {Them(many)} but never sent a packet",
            FindingKind.BackupLeavesOut =>
                $"{where} {have} one source{(many ? " each" : "")}; {who}, which doubles {f.Beside} others, never sent {Them(many)}",
            FindingKind.SourceStopped => $"{where}: {who} stopped{ago} without saying so{held}",
            FindingKind.SourceEnded =>
                $"{where}: {who} ended its stream{(many ? "s" : "")}{ago} and no other source sends; its last levels are held",
            FindingKind.LevelsFrozen =>
                $"{where} {are} frozen: {(many ? "their" : "its")} synchronisation packets stopped and the source asks to wait for them",
            FindingKind.LevelsStill => $"{where}: {who} hasn't changed a level for {Time(f.Seconds, "F0")} while its other universes move",
            FindingKind.UniverseTooShort =>
                $"{where}: {who} sends {Counted.Of(f.Sends ?? 0, "address", "addresses")}, the patch uses {f.Needs}; {beyond} and above get nothing",
            FindingKind.PacketsLost => $"{where}: {packets} of {who} {missing} ({Share(n, f.Of)} %)",
            FindingKind.DroppedByThisMachine =>
                $"this machine dropped {packets}{within} for want of receive buffer; lift it with 'sysctl -w net.core.rmem_max=67108864'",
            FindingKind.SharedPort =>
                $"another program listens on {f.Reason}, too: what is sent to that address alone reaches only the one that began last; end one of them",
            FindingKind.TooManySources =>
                $"{where}: {packets} of further sources found no room{within} beside the {f.Beside} known{(many ? " of each" : "")}",
            FindingKind.TooMany => $"{packets} of further universes or senders found no room{within}; the bounds protect this machine's memory",
            FindingKind.PreviewOnly => $"{where} {are} preview data alone: other receivers ignore {Them(many)}",
            FindingKind.PreviewRefused =>
                $"{where} {are} heard as preview data alone, from {who}, and the rig file's network settings refuse preview: nothing of {Them(many)} is used",
            FindingKind.Malformed =>
                $"{Counted.Of(n, "malformed packet")}{(who.Length > 0 ? " from " + who : "")} {(n == 1 ? "was" : "were")} refused{within}; the "
                + $"last: {f.Reason}",
            FindingKind.Doubled =>
                $"{where}: packets of {who} come again, {n} beside {f.Of}{within}{(f.Held ? ", after later ones" : "")}: a loop or a second path in the "
                + "network, a sender with two outputs to it, or a capture taken at two places; receivers that don't look at numbers flicker",
            FindingKind.RateTooHigh =>
                $"{where}: {who} sends {Amount(f.PerSecond)} packets a second{Each(many)}, a line of DMX512 carries {Amount(f.Asked)}: gateways "
                + "may drop or lag",
            FindingKind.RateTooLow =>
                $"{where}: {who} sends {Amount(f.PerSecond)} packets a second{Each(many)}; {Amount(f.Asked)} at least is asked, and receivers "
                + "may take it for lost",
            FindingKind.Ragged =>
                $"{where}: packets of {who} come in bunches ({n} of {f.Of}{within} right after another): what moves will stutter",
            FindingKind.TwoProtocols =>
                $"{where} {(many ? "come" : "comes")} by sACN and Art-Net, from {who}: a node takes one of them or merges; let one protocol carry {Them(many)}",
            FindingKind.PriorityFlaps =>
                $"{where}: the priority of {who} changed {Counted.Of(n, "time", "times")}{within}, now {f.Priority}: who is in force changes with it",
            FindingKind.PrioritiesIgnored =>
                $"{where}: {who} sends per-address priority, which is ignored here; the rig file's network key \"perAddressPriority\": true follows it",
            FindingKind.NoLevels =>
                $"{where}: {who} is heard but sends no levels (start code 0){(f.Seconds is null ? "" : $" for {Time(f.Seconds, "F0")}")}",
            FindingKind.NotOffered =>
                $"{where}: {who} sends {Them(many)}, but its universe discovery leaves {Them(many)} out: what goes by that list won't find {Them(many)}",
            FindingKind.OtherStartCodes =>
                $"{where} also {(many ? "carry" : "carries")} {packets}{within} with other start codes (the last 0x{f.StartCode:X2}), which are no levels",
            _ => throw new ArgumentOutOfRangeException(nameof(f), f.Kind, "a kind of finding without words"),
        };
    }

    /// <summary>That what a finding said of begun is over. Losses end slowly: they are over when few went missing for <paramref name="quiet"/>.</summary>
    public static string Over(Finding f, TimeSpan quiet)
    {
        ArgumentNullException.ThrowIfNull(f);
        return "over: " + (f.Kind == FindingKind.PacketsLost
            ? $"{Where(f.Universes)}: for {Time(quiet.TotalSeconds, "F0")} fewer than 1 in 100 packets of {string.Join(" and ", f.Sources)} went missing"
            : Say(f));
    }

    /// <summary>That a source began or ceased to be heard.</summary>
    public static string Say(SourceTurn turn)
    {
        ArgumentNullException.ThrowIfNull(turn);
        var many = turn.Universes.Count > 1;
        return $"{Where(turn.Universes)}: {turn.Source} " + turn.Kind switch
        {
            SourceTurnKind.Sends => "sends",
            SourceTurnKind.Stopped => "stopped sending",
            SourceTurnKind.Ended => many ? "ended its streams" : "ended its stream",
            SourceTurnKind.PreviewRefused => "sends preview data, which the rig file's network settings refuse",
            _ => throw new ArgumentOutOfRangeException(nameof(turn), turn.Kind, "a turn without words"),
        };
    }

    /// <summary>A source's state in a word: <c>sending</c>, <c>ignored</c>, <c>held</c>, <c>lost</c> or <c>ended</c>.</summary>
    public static string State(SourceHealth source)
    {
        ArgumentNullException.ThrowIfNull(source);
        return source.Share.Use switch
        {
            SourceUse.InForce => "sending",
            SourceUse.Ignored => "ignored",
            SourceUse.Held => "held",
            _ => source.Standing == SourceStanding.Ended ? "ended" : "lost",
        };
    }

    /// <summary>What of a source is in force, and why not the rest.</summary>
    public static string Share(SourceHealth source)
    {
        ArgumentNullException.ThrowIfNull(source);
        var s = source.Share;
        var wins = s.Wins == s.Of ? $"wins {(s.Of == 1 ? "its address" : $"all {s.Of} addresses")}" : $"wins {s.Wins} of {s.Of} addresses";

        // Beyond E1.31's time of loss only a protocol with a longer one is still heard.
        var late = source.Standing == SourceStanding.Live && source.SecondsSinceSeen > E131Numbers.LossTimeout.TotalSeconds
            ? $"; last heard {Time(source.SecondsSinceSeen, "F0")} ago, counts for {Time(source.HoldSeconds, "F0")}"
            : "";
        return (s.Use == SourceUse.InForce ? wins : s.Use == SourceUse.Held ? $"{Why(s.Why)}; no source sends, its last levels are held ({wins})" : Why(s.Why))
            + (s.Use == SourceUse.InForce && source.Preview ? "; preview data" : "") + late;
    }

    /// <summary>What became of a source's level at one address, in a few words.</summary>
    public static string Fate(AddressSource source)
    {
        ArgumentNullException.ThrowIfNull(source);
        var held = source.Wins ? ", its level is held" : "";
        var fight = source.Fights ? ", in a fight" : "";
        return source.Standing switch
        {
            SourceStanding.Ended => "has ended" + held,
            SourceStanding.Lost => "lost" + held,
            SourceStanding.Refused => "refused" + held,
            _ when source.Wins => "wins" + fight,
            _ => source.Why switch
            {
                UnusedReason.NotSent => "doesn't source it: its packets end before",
                UnusedReason.PrioritiesZero => "doesn't source it: its priority for it is 0",
                UnusedReason.LowerPriority => "loses: lower priority",
                UnusedReason.LowerLevel => "loses: lower level" + fight,
                UnusedReason.OlderLevel => "loses: changed earlier" + fight,
                _ => "not used: " + Why(source.Why),
            },
        };
    }

    /// <summary><c>universe 3</c>, <c>universes 1 to 4, 9</c>; empty for none.</summary>
    private static string Where(IReadOnlyList<int> universes) => universes.Count switch
    {
        0 => "",
        1 => Invariant($"universe {universes[0]}"),
        _ => "universes " + AddressRanges.WriteInWords(universes),
    };

    private static string Why(UnusedReason why) => why switch
    {
        UnusedReason.None => "",
        UnusedReason.PreviewRefused => "it sends preview data, which the rig file refuses",
        UnusedReason.NotSent => "its packets end before the address",
        UnusedReason.PrioritiesZero => "its per-address priority is 0 everywhere",
        UnusedReason.LowerPriority => "others have a higher priority at each of its addresses",
        UnusedReason.LowerLevel => "others of equal priority send higher levels",
        UnusedReason.OlderLevel => "others of equal priority changed their levels later",
        UnusedReason.WaitsForPriorities => "it is new and its per-address priorities are waited for",
        UnusedReason.WaitsForSynchronisation => "its levels wait for their synchronisation packet",
        UnusedReason.NoLevels => "it sends no levels",
        UnusedReason.Silent => "it fell silent without saying so",
        UnusedReason.Ended => "it ended its stream",
        _ => throw new ArgumentOutOfRangeException(nameof(why), why, "a reason without words"),
    };

    private static string Each(bool many) => many ? " on each" : "";

    private static string Amount(double? value) => (value ?? 0).ToString("0.##", CultureInfo.InvariantCulture);

    private static string Them(bool many) => many ? "them" : "it";

    private static string Share(long lost, long? of) => (100.0 * lost / Math.Max(1, of ?? 1)).ToString("F2", CultureInfo.InvariantCulture);

    private static string Within(Finding f) => f.WithinSeconds is not { } s ? "" : s == 60 ? " in the last minute" : " in the last " + Time(s, "F0");

    /// <summary>Seconds up to two minutes, then minutes, then hours.</summary>
    private static string Time(double? seconds, string format) => seconds switch
    {
        null => "",
        < 120 => seconds.Value.ToString(format, CultureInfo.InvariantCulture) + " s",
        < 7200 => Invariant($"{Math.Floor(seconds.Value / 60)} min"),
        _ => Invariant($"{Math.Floor(seconds.Value / 3600)} h"),
    };

    private static string Invariant(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);
}
