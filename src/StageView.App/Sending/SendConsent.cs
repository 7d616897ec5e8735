using System.Net;
using StageView.Show;

namespace StageView.App.Sending;

/// <summary>What is said and asked before levels leave this machine. Loopback (127.0.0.0/8, ::1) is never asked about.</summary>
internal static class SendConsent
{
    /// <summary>What may move, and what happens when the sending ends. One sentence a line.</summary>
    public static IReadOnlyList<string> Caution(IPAddress to) =>
    [
        $"caution: this sends levels to {to}{(IsMulticast(to) ? ", a multicast group: whoever on that network listens to it takes them" : "")}. "
        + "What is patched there will follow them.",
        "Before it does, isolate or clear: lasers, strobes and flashing pixels, moving heads, winches, hoists and all that they move, pyrotechnics, flames, "
        + "fog, motors and relays. Nobody under or near what moves, nobody in the light's way, an emergency stop at hand.",
        "Local code and the people licensed for each of these decide; nothing here says that it is safe.",
        "When it ends, each sACN stream is ended by three packets (E1.31 6.2.6). What a receiver does then is its own setting; many hold the last look. "
        + "Art-Net has no packet that ends a stream: most nodes hold the last look, an Art-Net 4 node what its fail-safe was set to by ArtAddress.",
    ];

    /// <summary>The address named, or loopback.</summary>
    /// <exception cref="StopException">It is none, or nothing is to be sent.</exception>
    public static IPAddress Address(string? to, bool send) => to is null ? IPAddress.Loopback
        : !send ? throw StopException.Wrong("--to names where --send sends to: give both")
        : IPAddress.TryParse(to, out var address) ? address : throw StopException.Wrong($"--to {to}: not an IP address");

    /// <summary>
    /// Says the caution on standard error and asks, unless <paramref name="yes"/> is set or the address is loopback. Nothing was sent when this throws.
    /// </summary>
    /// <param name="to">Where to.</param>
    /// <param name="yes">Whether the user has agreed beforehand; the caution is still said.</param>
    /// <param name="stop">Cancelled by Ctrl+C.</param>
    /// <exception cref="StopException">The user said no, or nobody can be asked.</exception>
    public static async Task Ask(IPAddress to, bool yes, CancellationToken stop)
    {
        if (IPAddress.IsLoopback(to))
        {
            return;
        }

        if (!yes && Console.IsInputRedirected)
        {
            throw StopException.Wrong(
                $"--to {to}: that is not this machine's loopback, so a real rig may move, and there is no terminal to ask on; nothing was sent. "
                + "With --yes it is sent without asking.");
        }

        foreach (var line in Caution(to))
        {
            await Console.Error.WriteLineAsync(line).ConfigureAwait(false);
        }

        if (yes)
        {
            return;
        }

        await Console.Error.WriteAsync("Send? Type yes: ").ConfigureAwait(false);
        string? answer;
        try
        {
            answer = await Task.Run(Console.In.ReadLine, CancellationToken.None).WaitAsync(stop).ConfigureAwait(false);
        }
        catch (OperationCanceledException)
        {
            answer = null;
        }

        if (!string.Equals(answer?.Trim(), "yes", StringComparison.OrdinalIgnoreCase))
        {
            throw new StopException(StopKind.No, "nothing was sent");
        }
    }

    /// <summary>Class D (RFC 5771) or ff00::/8 (RFC 4291).</summary>
    private static bool IsMulticast(IPAddress to) =>
        to.IsIPv6Multicast || to.GetAddressBytes() is [>= 224 and < 240, _, _, _];
}
