using System.CommandLine;
using System.Net;
using System.Security.Cryptography.X509Certificates;
using StageView.App.Ending;
using StageView.App.Options;
using StageView.App.Printing;
using StageView.App.Starting;
using StageView.Ground.Systems;
using StageView.Live.Running;
using StageView.Live.Server;
using StageView.Live.Shown;
using StageView.Render.Contexts;
using StageView.Show;
using StageView.Show.Exchange;
using StageView.Show.Refocus;
using StageView.Show.Sound;

namespace StageView.App.Verbs;

/// <summary><c>stageview live RIG</c>: what the console does, as it does it, in a window and on a page.</summary>
internal static class LiveVerb
{
    public static Command Build()
    {
        var rig = Verb.RigArgument();
        var venue = Verb.VenueOption();
        var listen = new Option<string[]>("--listen")
        {
            Description = "A local address to listen on, beside loopback and those of the rig file; may be given several times.", HelpName = "ADDRESS",
        };
        var serve = new Option<string>("--serve")
        {
            Description = "Local address that the page is served at. Any but loopback asks each device for a one-time key.",
            HelpName = "ADDRESS",
            DefaultValueFactory = _ => "127.0.0.1",
        };
        var port = new Option<int>("--port")
        {
            Description = "Port of the page; 0 takes a free one.", HelpName = "NUMBER", DefaultValueFactory = _ => LiveServerOptions.UsualPort,
        };
        var https = new Option<bool>("--https")
        {
            Description = "Serve the page over HTTPS with a self-made certificate, whose fingerprint is printed; it is kept for the next start.",
        };
        var certificate = new Option<string?>("--certificate")
        {
            Description = "Serve the page over HTTPS with a certificate of yours: PKCS#12 (its password in STAGEVIEW_CERTIFICATE_PASSWORD) or PEM.",
            HelpName = "FILE",
        };
        var certificateKey = new Option<string?>("--certificate-key")
        {
            Description = "Its private key, where that is in a PEM file of its own.", HelpName = "FILE",
        };
        var window = new Option<bool>("--window") { Description = "Open a window. Without it there is one where a display is known." };
        var noWindow = new Option<bool>("--no-window") { Description = "Open no window." };
        var recordings = new Option<string?>("--recordings")
        {
            Description = "Folder for recordings. Without it: recordings, beside the rig file.", HelpName = "FOLDER",
        };
        var last = new Option<double>("--last")
        {
            Description = "Minutes of what was heard last that are kept without a recording, 0 to 60; at most 1 GiB.", HelpName = "MINUTES",
            DefaultValueFactory = _ => 10,
        };
        var ltc = new Option<string?>("--ltc")
        {
            Description = $"Listen to linear timecode in sound: {SoundSource.Forms}; \"list\" lists what the system names.", HelpName = "NAME",
        };
        var ltcChannel = new Option<int>("--ltc-channel")
        {
            Description = "With --ltc: the channel that it comes in at, from 1.", HelpName = "N", DefaultValueFactory = _ => 1,
        };
        var looks = new Option<string?>("--looks") { Description = "Folder with look files. Without it: beside the rig file.", HelpName = "FOLDER" };
        var sacnPort = new Option<int>("--sacn-port")
        {
            Description = "UDP port of sACN, where it isn't the standard's.", HelpName = "NUMBER", DefaultValueFactory = _ => Wire.E131.E131Numbers.Port,
        };
        var artNetPort = new Option<int>("--artnet-port")
        {
            Description = "UDP port of Art-Net, where it isn't the standard's.",
            HelpName = "NUMBER",
            DefaultValueFactory = _ => Wire.ArtNet.ArtNetNumbers.Port,
        };
        var group = new Option<string?>("--group")
        {
            Description = "Join a group that exchanges MVR files (MVR-xchange): the page shows what others commit, and takes it when told to.",
            HelpName = "NAME",
        };
        var groupAddress = new Option<string>("--group-address")
        {
            Description = "The IPv4 address that this machine has on the group's network. Without it: this machine alone.",
            HelpName = "ADDRESS",
            DefaultValueFactory = _ => "127.0.0.1",
        };
        var groupFollow = new Option<bool>("--group-follow") { Description = "Take each commit of the group as it comes." };
        var namesPort = new Option<int>("--names-port")
        {
            Description = "UDP port of multicast DNS, where it isn't the standard's.",
            HelpName = "NUMBER",
            DefaultValueFactory = _ => Wire.Names.MulticastNames.StandardPort,
        };
        var refocus = new Option<string?>("--refocus")
        {
            Description = "A capture of the show, or a folder of look files: the page lists where its positions are in the venue, as stageview refocus does.",
            HelpName = "SHOW",
        };
        var from = new Option<string?>("--from-venue")
        {
            Description = "With --refocus: the venue file that the show was last focused in; the rig as it is when left out.", HelpName = "FILE",
        };
        var anchors = new Option<string?>("--anchors")
        {
            Description = "With --refocus: an anchors file that says what positions are for, whatever is guessed.", HelpName = "FILE",
        };
        var open = new Option<bool>("--open") { Description = "Open the page in this machine's browser." };
        var inputs = Verb.InputsOption();
        var indirect = Verb.IndirectOption("Light that floors, walls and people throw on each other: on or off (when left out).");
        var command = new Command("live",
            "Listens to the console and shows what the rig does, in a window and on a page; watches the rig file.") { rig, venue, listen, serve, port, https,
            certificate, certificateKey, window,
            noWindow, recordings, last, ltc, ltcChannel, looks,
            sacnPort, artNetPort, group, groupAddress, groupFollow, namesPort, refocus, from, anchors, indirect, inputs, open };
        return command.Does(async (parse, stop) =>
        {
            if (parse.GetValue(ltc) == "list")
            {
                SoundList.Lines().ToList().ForEach(Console.WriteLine);
                return Exit.Fine;
            }

            var file = parse.GetValue(rig)!;
            var beside = Path.GetDirectoryName(Path.GetFullPath(file))!;
            if (!IPAddress.TryParse(parse.GetValue(serve), out var address))
            {
                throw StopException.Wrong($"--serve {parse.GetValue(serve)} is no IP address: write one of this machine's, such as 127.0.0.1");
            }

            if (parse.GetValue(last) is not (>= 0 and <= 60))
            {
                throw StopException.Wrong($"--last {parse.GetValue(last)} is out of range: minutes from 0 to 60");
            }

            Verb.CheckPort(parse.GetValue(port), port.Name, 0);
            Verb.CheckPort(parse.GetValue(sacnPort), sacnPort.Name, 1);
            Verb.CheckPort(parse.GetValue(artNetPort), artNetPort.Name, 1);
            Verb.CheckPort(parse.GetValue(namesPort), namesPort.Name, 1);

            var positions = Positions(file, parse.GetValue(venue), parse.GetValue(refocus), parse.GetValue(from), parse.GetValue(anchors));
            var matt = Verb.IsIndirect(parse.GetValue(indirect), false);
            await LiveRun.Run(
                new LiveRequest
                {
                    Show = new LiveShowOptions
                    {
                        RigFile = file,
                        Venue = parse.GetValue(venue),
                        Listen = parse.GetValue(listen) ?? [],
                        Recordings = parse.GetValue(recordings) ?? Recordings(beside),
                        Last = TimeSpan.FromMinutes(parse.GetValue(last)),
                        Ltc = parse.GetValue(ltc) is { } sound ? SoundSource.Parse(sound, parse.GetValue(ltcChannel)) : null,
                        E131Port = parse.GetValue(sacnPort),
                        ArtNetPort = parse.GetValue(artNetPort),
                        Looks = parse.GetValue(looks) ?? beside,
                        Refocus = positions,
                        Inputs = parse.GetValue(inputs),
                        Exchange = parse.GetValue(group) is not { } named ? null : new ExchangeRequest
                        {
                            RigFile = file, Venue = parse.GetValue(venue), Group = named, Address = parse.GetValue(groupAddress)!,
                            Follow = parse.GetValue(groupFollow), Role = "live", NamesPort = parse.GetValue(namesPort),
                        },
                    },
                    Server = new LiveServerOptions
                    {
                        Address = address, Port = parse.GetValue(port),
                        Certificate = Certificate(address, parse.GetValue(https), parse.GetValue(certificate), parse.GetValue(certificateKey)),
                    },
                    Served = page => Served(page, file, parse.GetValue(open)),
                    ShowsCode = !Console.IsOutputRedirected,
                    Indirect = matt,
                    Window = !parse.GetValue(noWindow) && (parse.GetValue(window) || ScreenWindow.HasDisplay),
                },
                Console.Out, stop).ConfigureAwait(false);
            return Exit.Fine;
        });
    }

    /// <summary>Beside the rig; where nothing can be written there, in the user's own folder.</summary>
    private static string Recordings(string beside) =>
        Path.Combine(Directory.Exists(beside) && !OwnFolders.CanWrite(beside) && OwnFolders.Recordings is { } own ? own : beside, "recordings");

    private static void Served(Uri page, string rig, bool open)
    {
        if (!Console.IsOutputRedirected)
        {
            FirstStart.Remember(rig);
        }

        if (open && !WebBrowser.TryOpen(page))
        {
            Tell.Note("this system gives no browser to open the page with: type its address into one");
        }
    }

    private static X509Certificate2? Certificate(IPAddress address, bool selfMade, string? file, string? key) =>
        file is not null ? PageCertificate.Load(file, key, Environment.GetEnvironmentVariable("STAGEVIEW_CERTIFICATE_PASSWORD"))
        : key is not null ? throw StopException.Wrong("--certificate-key belongs to --certificate FILE")
        : selfMade ? PageCertificate.SelfMade(PageCertificate.Usual, [.. IsAny(address) ? [] : new[] { address }], TimeProvider.System) : null;

    private static bool IsAny(IPAddress address) => address.Equals(IPAddress.Any) || address.Equals(IPAddress.IPv6Any);

    private static RefocusRequest? Positions(string rig, string? venue, string? show, string? from, string? anchors)
    {
        if (show is null)
        {
            return from is null && anchors is null ? null
                : throw StopException.Wrong("--from-venue and --anchors belong to --refocus SHOW: a capture of the show, or a folder of look files");
        }

        if (!File.Exists(show) && !Directory.Exists(show))
        {
            throw StopException.Wrong($"--refocus {show}: there is no such capture, nor a folder of look files");
        }

        var isFolder = Directory.Exists(show);
        var request = new RefocusRequest
        {
            RigFile = rig, Venue = venue, FromVenue = from, Capture = isFolder ? null : show, Looks = isFolder ? show : null, Anchors = anchors,
        };
        request.Check();
        return request;
    }
}
