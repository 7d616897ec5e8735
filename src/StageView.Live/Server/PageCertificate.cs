using System.Net;
using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;
using StageView.Ground.Files;
using StageView.Ground.Systems;
using StageView.Show;

namespace StageView.Live.Server;

/// <summary>The certificate that the page is served with over HTTPS: one that the user brings, or one made here, which devices are told to compare.</summary>
public static class PageCertificate
{
    private static readonly TimeSpan Life = TimeSpan.FromDays(365);
    private static readonly TimeSpan Renewed = TimeSpan.FromDays(30);

    /// <summary>Where a self-made one is kept, so that devices that took it need not take another at the next start.</summary>
    /// <exception cref="StopException">This user has no folder for it.</exception>
    public static string Usual => OwnFolders.Kept("page.pfx")
        ?? throw StopException.Machine("this user has no folder to keep a certificate in; name one of your own with --certificate");

    /// <summary>SHA-256 over the certificate, as browsers show it: pairs of hexadecimal digits with colons between.</summary>
    public static string Fingerprint(X509Certificate2 certificate)
    {
        ArgumentNullException.ThrowIfNull(certificate);
        return string.Join(':', SHA256.HashData(certificate.RawData).Select(b => b.ToString("X2")));
    }

    /// <summary>A certificate that somebody brings.</summary>
    /// <param name="file">PKCS#12 (.pfx, .p12), else PEM.</param>
    /// <param name="key">Its private key in PEM where that is in a file of its own, or null.</param>
    /// <param name="password">Of the PKCS#12 file, or null.</param>
    /// <exception cref="StopException">It can't be read, or has no private key.</exception>
    public static X509Certificate2 Load(string file, string? key, string? password)
    {
        try
        {
            var pem = Path.GetExtension(file).ToLowerInvariant() is not (".pfx" or ".p12");
            var read = pem ? X509Certificate2.CreateFromPemFile(file, key) : X509CertificateLoader.LoadPkcs12FromFile(file, password);
            return read.HasPrivateKey ? read : throw StopException.Wrong($"{file} has no private key: name it with --certificate-key");
        }
        catch (Exception e) when (e is CryptographicException or IOException or UnauthorizedAccessException)
        {
            throw StopException.Wrong($"{key ?? file}: can't be used as a certificate with its private key: {e.Message}");
        }
    }

    /// <summary>The self-made one that is kept in a file, or a new one where there is none, or its time is nearly over.</summary>
    /// <exception cref="StopException">It can't be written.</exception>
    public static X509Certificate2 SelfMade(string file, IEnumerable<IPAddress> addresses, TimeProvider clock)
    {
        ArgumentNullException.ThrowIfNull(addresses);
        ArgumentNullException.ThrowIfNull(clock);
        try
        {
            if (File.Exists(file) && X509CertificateLoader.LoadPkcs12FromFile(file, null) is var kept && kept.NotAfter - clock.GetUtcNow() > Renewed)
            {
                return kept;
            }
        }
        catch (CryptographicException)
        {
            // Whatever that file is, it is no certificate any more.
        }

        var bytes = Make(addresses, clock.GetUtcNow());
        try
        {
            Directory.CreateDirectory(Path.GetDirectoryName(file)!);
            WholeFile.WriteOwn(file, bytes);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            throw StopException.Machine($"{file} can't be written: {e.Message}; name a certificate of your own with --certificate");
        }

        return X509CertificateLoader.LoadPkcs12(bytes, null);
    }

    /// <summary>Self-signed, ECDSA on P-256, for servers alone (RFC 5280, sections 4.2.1.6, 4.2.1.9 and 4.2.1.12).</summary>
    private static byte[] Make(IEnumerable<IPAddress> addresses, DateTimeOffset now)
    {
        using var key = ECDsa.Create(ECCurve.NamedCurves.nistP256);
        var request = new CertificateRequest("CN=StageView page", key, HashAlgorithmName.SHA256);
        var names = new SubjectAlternativeNameBuilder();
        names.AddDnsName("localhost");
        foreach (var address in addresses.Append(IPAddress.Loopback).Append(IPAddress.IPv6Loopback).Distinct())
        {
            names.AddIpAddress(address);
        }

        request.CertificateExtensions.Add(names.Build());
        request.CertificateExtensions.Add(new X509BasicConstraintsExtension(false, false, 0, true));
        request.CertificateExtensions.Add(new X509KeyUsageExtension(X509KeyUsageFlags.DigitalSignature, true));
        request.CertificateExtensions.Add(new X509EnhancedKeyUsageExtension([new Oid("1.3.6.1.5.5.7.3.1")], false));
        using var certificate = request.CreateSelfSigned(now - TimeSpan.FromDays(1), now + Life);
        return certificate.Export(X509ContentType.Pkcs12);
    }
}
