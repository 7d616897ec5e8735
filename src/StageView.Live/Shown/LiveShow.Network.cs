using System.Net;
using System.Net.NetworkInformation;
using System.Text.Json;
using StageView.Live.Network;
using StageView.Live.Terms;
using StageView.Rig.Pieces;
using StageView.Show.Rigs;
using StageView.Show.Sources;
using StageView.Wire.Health;
using StageView.Wire.Sockets;
using StageView.Wire.Tallies;
using StageView.Wire.Universes;

namespace StageView.Live.Shown;

internal sealed partial class LiveShow
{
    private const int MostFindings = 100;
    private LiveSource? _source;
    private IReadOnlyList<string> _listening = [];
    private string _listenedFor = "";
    private string? _networkTrouble;
    private int _listenTries;
    private long _triedAt;
    private HealthWatch _health = NightLong(PatchedUniverses.None);
    private readonly SourceTurns _turns = new();
    private volatile IReadOnlyList<Finding> _found = [];
    private volatile NetworkState _network = new([], 0, [], [], null);

    /// <summary>
    /// Keeps listening where this machine has the addresses wanted: an interface that goes down takes only its own away,
    /// and is joined again when it is back; a port that was taken is tried again.
    /// </summary>
    private void WatchNetwork()
    {
        if (_source is { IsListening: false })
        {
            StopListening();
            _journal.Say("network", "listening ended; it is begun anew");
        }

        var wanted = WantedAddresses();
        var here = AddressesHere();
        var (there, missing) = (wanted.Where(here.Contains).ToList(), wanted.Where(a => !here.Contains(a)).ToList());
        if (_source is null)
        {
            if (_triedAt == 0 || _clock.GetElapsedTime(_triedAt) > TimeSpan.FromSeconds(Math.Min(10, _listenTries)))
            {
                TryListen(there, missing);
            }

            return;
        }

        var gone = _listening.Except(there).ToList();
        var back = there.Except(_listening).ToList();
        if (gone.Count > 0 || back.Count > 0)
        {
            if (gone.Count > 0)
            {
                _journal.Say("network", $"{string.Join(", ", gone)} is gone from this machine (interface down, cable out or address changed)");
            }

            StopListening();
            TryListen(there, missing);
        }
    }

    /// <summary>Who is heard and what is wrong, for the page and the journal; also while no page is open.</summary>
    private void LookAtNetwork()
    {
        _timecode.Tell();
        WireHealth? health = null;
        List<Finding> found = [];
        if (_source is { } source)
        {
            health = source.Read(m => _health.Look(m, source.KernelDrops, source.SharedPorts));

            // The marker's universe is our own sending.
            health = health with { Universes = [.. health.Universes.Where(u => u.Universe != _options.MarkerUniverse)] };
            found = [.. _health.Findings(health)];
            foreach (var turn in _turns.Look(health))
            {
                _journal.Say("network", turn.Text);
            }

            _findingJournal.Tell(found);
        }

        _found = found;

        _network = new NetworkState(
            _listening, Math.Round(health?.PacketsPerSecond ?? 0), NetworkLines.Of(health, _patched, _options.MarkerUniverse, found),
            [.. FindingGroups.Of(found).Take(MostFindings).Select(f => new FindingLine(f.Stands ? "warning" : "note", f.Universe, f.Text))], _networkTrouble);
    }

    /// <summary>A fixture's card with who drives its channels, and with what is wrong on the network at its addresses while that is shown.</summary>
    private Reply WithNetwork(ShownStage shown, Reply answer)
    {
        if (answer.Data is not FixtureCard card || RigQuestions.Named(shown.Rig, card.Name) is not { } fixture)
        {
            return answer;
        }

        if (shown.Capture is { } capture)
        {
            return answer with { Data = Drivers.On(card, addresses => capture.SourcesOf(shown.Rig, card.AsOf, addresses)) };
        }

        return shown.Look is not null ? answer
            : answer with
            {
                Data = (_source is { } source ? Drivers.On(card, addresses => source.Read(m => m.SourcesOf(addresses))) : card) with
                {
                    Network = FixtureTroubles.Of(_patch, fixture, _found),
                },
            };
    }

    /// <summary>Over a night, counts of long ago would hide what is wrong now.</summary>
    private static HealthWatch NightLong(PatchedUniverses patch) => new(patch, 60);

    /// <summary>A reloaded rig may patch other universes, or listen elsewhere or by other rules.</summary>
    private void FollowRig(RigScene rig)
    {
        _health = NightLong(Patches.Of(rig));
        if (_source is not { } source)
        {
            return;
        }

        if (_listenedFor == Rules(rig))
        {
            source.Follow(UniversesOf(rig));
        }
        else
        {
            _journal.Say("network", "the rig file's network settings changed; listening is begun anew");
            StopListening();
            WatchNetwork();
        }
    }

    private void TryListen(List<string> addresses, List<string> missing)
    {
        _triedAt = _clock.GetTimestamp();
        try
        {
            var source = LiveSource.Listen(
                _rig.Network.ToWireSettings(),
                new ListenOptions { Universes = UniversesOf(_rig), Addresses = addresses, E131Port = _options.E131Port, ArtNetPort = _options.ArtNetPort },
                new Later(_desk, _clock.GetElapsedTime(_start)), _clock, _stop.Token);
            source.Tap(_recorder);
            source.Tap(_last);
            source.Tap(_timecode);
            _source = source;
            _listening = addresses;
            _listenedFor = Rules(_rig);
            _listenTries = 0;
            _health = NightLong(Patches.Of(_rig));
            _networkTrouble = missing.Count > 0 ? $"this machine has no address {string.Join(", ", missing)} now; nothing is heard there until it has" : null;
            _journal.Say("network", $"listening at {string.Join(", ", addresses)}{(missing.Count > 0 ? $"; {string.Join(", ", missing)} is waited for" : "")}");
            foreach (var note in source.Notes)
            {
                _journal.Say("network", note);
            }
        }
        catch (ListenException e)
        {
            _listenTries++;
            _networkTrouble = e.Message;
            _journal.Say("network", $"can't listen: {e.Message}; tried again every few seconds");
        }
    }

    private void StopListening()
    {
        var source = _source;
        (_source, _listening, _triedAt) = (null, [], 0);
        try
        {
            source?.Dispose();
        }
        catch (ListenException e)
        {
            _journal.Say("network", e.Message);
        }
    }

    private List<string> WantedAddresses() =>
        [.. new[] { ListenOptions.Loopback }.Concat(_rig.Network.Listen).Concat(_options.Listen).Select(Written).Distinct()];

    private UniverseNumber[] UniversesOf(RigScene rig) => [.. Universes.Patched(rig), new UniverseNumber(_options.MarkerUniverse)];

    /// <summary>What listening follows beside the universes.</summary>
    private static string Rules(RigScene rig) =>
        JsonSerializer.Serialize(new
        {
            rig.Network.Listen, rig.Network.ArtNet, rig.Network.Merge, rig.Network.MergeByUniverse, rig.Network.PerAddressPriority,
            rig.Network.AcceptPreview
        });

    /// <summary>An address as the system writes it, scope and all; what is none stays, so that listening can say so.</summary>
    private static string Written(string address) => IPAddress.TryParse(address, out var a) ? a.ToString() : address;

    /// <summary>
    /// Whether listening can be tried at an address: one of an interface that is up, the loopback's, or none at all, which is refused in words.
    /// </summary>
    private static Present AddressesHere() => new(
    [
        .. NetworkInterface.GetAllNetworkInterfaces()
            .Where(i => i.OperationalStatus is OperationalStatus.Up or OperationalStatus.Unknown)
            .SelectMany(i => i.GetIPProperties().UnicastAddresses).Select(a => a.Address.ToString()),
    ]);

    private sealed class Present(HashSet<string> addresses)
    {
        public bool Contains(string address) =>
            addresses.Contains(address) || !IPAddress.TryParse(address, out var a) || IPAddress.IsLoopback(a) || a.Equals(IPAddress.Any)
            || a.Equals(IPAddress.IPv6Any);
    }

    /// <summary>Listening begun anew counts its time from zero; the show's goes on.</summary>
    private sealed class Later(ILevelsSink sink, TimeSpan by) : ILevelsSink
    {
        public void OnLevels(UniverseNumber universe, TimeSpan at, ReadOnlySpan<byte> levels) => sink.OnLevels(universe, at + by, levels);
    }
}
