package slabside.web;

import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.math.BigInteger;
import java.net.Inet4Address;
import java.net.InetAddress;
import java.net.NetworkInterface;
import java.net.SocketException;
import java.net.UnknownHostException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.attribute.PosixFilePermissions;
import java.security.GeneralSecurityException;
import java.security.KeyPair;
import java.security.KeyPairGenerator;
import java.security.KeyStore;
import java.security.MessageDigest;
import java.security.PrivateKey;
import java.security.SecureRandom;
import java.security.cert.Certificate;
import java.security.cert.X509Certificate;
import java.security.spec.ECGenParameterSpec;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Collections;
import java.util.Date;
import java.util.HexFormat;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import org.bouncycastle.asn1.x500.X500Name;
import org.bouncycastle.asn1.x509.BasicConstraints;
import org.bouncycastle.asn1.x509.ExtendedKeyUsage;
import org.bouncycastle.asn1.x509.Extension;
import org.bouncycastle.asn1.x509.GeneralName;
import org.bouncycastle.asn1.x509.GeneralNames;
import org.bouncycastle.asn1.x509.GeneralSubtree;
import org.bouncycastle.asn1.x509.KeyPurposeId;
import org.bouncycastle.asn1.x509.KeyUsage;
import org.bouncycastle.asn1.x509.NameConstraints;
import org.bouncycastle.cert.CertIOException;
import org.bouncycastle.cert.X509v3CertificateBuilder;
import org.bouncycastle.cert.jcajce.JcaX509CertificateConverter;
import org.bouncycastle.cert.jcajce.JcaX509ExtensionUtils;
import org.bouncycastle.cert.jcajce.JcaX509v3CertificateBuilder;
import org.bouncycastle.operator.OperatorCreationException;
import org.bouncycastle.operator.jcajce.JcaContentSignerBuilder;
import slabside.log.LogTrouble;

/**
 * The studio's own certificate authority, made on first use and kept in the configuration folder, and the certificate it
 * gives this machine for the names and addresses by which the local network knows it. The authority can vouch for private
 * addresses and names that end in {@code .local} only (RFC 5280, 4.2.1.10), so that a device which trusts it trusts it
 * for nothing else.
 */
final class StudioCertificates {
    private static final Duration AUTHORITY_HOLDS = Duration.ofDays(3650);
    private static final Duration CERTIFICATE_HOLDS = Duration.ofDays(397);
    private static final Duration RENEWED_BEFORE = Duration.ofDays(30);
    private static final char[] PASSWORD = "slabside".toCharArray();
    private static final String ALIAS = "studio";
    private static final String[] PRIVATE = {
        "10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "169.254.0.0/16", "127.0.0.0/8", "fc00::/7", "fe80::/10"
    };

    private final Path folder;
    private final Clock clock;
    private final SecureRandom chance = new SecureRandom();

    StudioCertificates(Path config, Clock clock) {
        this.folder = config.resolve("network");
        this.clock = clock;
    }

    /**
     * What the pages over the network are served with.
     *
     * @param store this machine's key and certificate
     * @param password of the store
     * @param authority certificate of the studio's authority, to be installed on each device once
     * @param names by which the network may call this machine
     */
    record Served(KeyStore store, String password, X509Certificate authority, List<String> names) {
        /** SHA-256 of the authority's certificate, as devices show it. */
        String fingerprint() {
            try {
                return HexFormat.ofDelimiter(" ")
                        .withUpperCase()
                        .formatHex(MessageDigest.getInstance("SHA-256").digest(authority.getEncoded()));
            } catch (GeneralSecurityException impossible) {
                throw new IllegalStateException(impossible);
            }
        }
    }

    /** Makes what is missing, and a fresh certificate when the names changed or the old one ends soon. */
    Served served() {
        try {
            Files.createDirectories(folder);
            KeyStore authority = read("authority.p12");
            if (authority == null) {
                authority = makeAuthority();
                write("authority.p12", authority);
            }
            X509Certificate root = (X509Certificate) authority.getCertificate(ALIAS);
            List<String> names = names();
            KeyStore machine = read("machine.p12");
            if (machine == null || !stillGood((X509Certificate) machine.getCertificate(ALIAS), root, names)) {
                machine = makeCertificate((PrivateKey) authority.getKey(ALIAS, PASSWORD), root, names);
                write("machine.p12", machine);
            }
            return new Served(machine, new String(PASSWORD), root, names);
        } catch (GeneralSecurityException | OperatorCreationException | IOException failed) {
            throw new LogTrouble(
                    "The studio's certificate in " + folder + " cannot be made or read: " + failed.getMessage()
                            + ". Move that folder away and start again; devices then need the new certificate.",
                    failed);
        }
    }

    private boolean stillGood(X509Certificate certificate, X509Certificate root, List<String> names)
            throws GeneralSecurityException {
        Set<String> held = new LinkedHashSet<>();
        var alternatives = certificate.getSubjectAlternativeNames();
        if (alternatives != null) {
            alternatives.forEach(name -> held.add(String.valueOf(name.get(1))));
        }
        certificate.verify(root.getPublicKey());
        return held.containsAll(names)
                && certificate.getNotAfter().toInstant().isAfter(clock.instant().plus(RENEWED_BEFORE));
    }

    private KeyStore makeAuthority() throws GeneralSecurityException, OperatorCreationException, IOException {
        KeyPair keys = keys();
        X500Name name = new X500Name("CN=Slabside studio " + Long.toString(chance.nextLong() >>> 1, 36));
        X509v3CertificateBuilder builder = builder(name, name, keys, AUTHORITY_HOLDS);
        builder.addExtension(Extension.basicConstraints, true, new BasicConstraints(0));
        builder.addExtension(Extension.keyUsage, true, new KeyUsage(KeyUsage.keyCertSign));
        builder.addExtension(Extension.nameConstraints, true, new NameConstraints(permitted(), null));
        builder.addExtension(
                Extension.subjectKeyIdentifier,
                false,
                new JcaX509ExtensionUtils().createSubjectKeyIdentifier(keys.getPublic()));
        return store(keys.getPrivate(), signed(builder, keys.getPrivate()));
    }

    private static GeneralSubtree[] permitted() {
        List<GeneralSubtree> trees = new ArrayList<>();
        for (String range : PRIVATE) {
            trees.add(new GeneralSubtree(new GeneralName(GeneralName.iPAddress, range)));
        }
        trees.add(new GeneralSubtree(new GeneralName(GeneralName.dNSName, "local")));
        trees.add(new GeneralSubtree(new GeneralName(GeneralName.dNSName, "localhost")));
        return trees.toArray(new GeneralSubtree[0]);
    }

    private KeyStore makeCertificate(PrivateKey signer, X509Certificate root, List<String> names)
            throws GeneralSecurityException, OperatorCreationException, IOException {
        KeyPair keys = keys();
        X509v3CertificateBuilder builder = builder(
                X500Name.getInstance(root.getSubjectX500Principal().getEncoded()),
                new X500Name("CN=Slabside"),
                keys,
                CERTIFICATE_HOLDS);
        builder.addExtension(Extension.basicConstraints, true, new BasicConstraints(false));
        builder.addExtension(Extension.keyUsage, true, new KeyUsage(KeyUsage.digitalSignature));
        builder.addExtension(Extension.extendedKeyUsage, false, new ExtendedKeyUsage(KeyPurposeId.id_kp_serverAuth));
        builder.addExtension(
                Extension.authorityKeyIdentifier,
                false,
                new JcaX509ExtensionUtils().createAuthorityKeyIdentifier(root));
        builder.addExtension(
                Extension.subjectAlternativeName,
                false,
                new GeneralNames(names.stream()
                        .map(name ->
                                new GeneralName(isAddress(name) ? GeneralName.iPAddress : GeneralName.dNSName, name))
                        .toArray(GeneralName[]::new)));
        return store(keys.getPrivate(), signed(builder, signer), root);
    }

    private X509v3CertificateBuilder builder(X500Name issuer, X500Name subject, KeyPair keys, Duration holds) {
        Instant now = clock.instant();
        return new JcaX509v3CertificateBuilder(
                issuer,
                new BigInteger(120, chance).setBit(119),
                // A device whose clock is a little behind must not find it "not yet valid".
                Date.from(now.minus(Duration.ofDays(1))),
                Date.from(now.plus(holds)),
                subject,
                keys.getPublic());
    }

    private static X509Certificate signed(X509v3CertificateBuilder builder, PrivateKey key)
            throws OperatorCreationException, GeneralSecurityException, CertIOException {
        return new JcaX509CertificateConverter()
                .getCertificate(builder.build(new JcaContentSignerBuilder("SHA256withECDSA").build(key)));
    }

    private KeyPair keys() throws GeneralSecurityException {
        KeyPairGenerator generator = KeyPairGenerator.getInstance("EC");
        generator.initialize(new ECGenParameterSpec("secp256r1"), chance);
        return generator.generateKeyPair();
    }

    private static KeyStore store(PrivateKey key, Certificate... chain) throws GeneralSecurityException, IOException {
        KeyStore store = KeyStore.getInstance("PKCS12");
        store.load(null, PASSWORD);
        store.setKeyEntry(ALIAS, key, PASSWORD, chain);
        return store;
    }

    private @org.jspecify.annotations.Nullable KeyStore read(String name) throws GeneralSecurityException, IOException {
        Path file = folder.resolve(name);
        if (!Files.exists(file)) {
            return null;
        }
        KeyStore store = KeyStore.getInstance("PKCS12");
        try (InputStream in = Files.newInputStream(file)) {
            store.load(in, PASSWORD);
        }
        return store;
    }

    /** Readable by nobody else, where the system knows such rights. */
    private void write(String name, KeyStore store) throws GeneralSecurityException, IOException {
        Path fresh = folder.resolve(name + ".new");
        Files.deleteIfExists(fresh);
        if (fresh.getFileSystem().supportedFileAttributeViews().contains("posix")) {
            Files.createFile(fresh, PosixFilePermissions.asFileAttribute(PosixFilePermissions.fromString("rw-------")));
        }
        try (OutputStream out = Files.newOutputStream(fresh)) {
            store.store(out, PASSWORD);
        }
        Files.move(fresh, folder.resolve(name), StandardCopyOption.REPLACE_EXISTING, StandardCopyOption.ATOMIC_MOVE);
    }

    private static boolean isAddress(String name) {
        return name.contains(":") || name.matches("[0-9.]+");
    }

    /** This machine's private addresses and its name in the local network; and itself. */
    private static List<String> names() {
        Set<String> names = new LinkedHashSet<>();
        try {
            for (NetworkInterface each : Collections.list(NetworkInterface.getNetworkInterfaces())) {
                if (each.isUp() && !each.isLoopback()) {
                    Collections.list(each.getInetAddresses()).stream()
                            .filter(address -> address instanceof Inet4Address && address.isSiteLocalAddress())
                            .map(InetAddress::getHostAddress)
                            .forEach(names::add);
                }
            }
        } catch (SocketException unknown) {
            throw new LogTrouble("The addresses of this machine cannot be read: " + unknown.getMessage(), unknown);
        }
        try {
            String name = InetAddress.getLocalHost().getHostName().toLowerCase(Locale.ROOT);
            String first = name.contains(".") ? name.substring(0, name.indexOf('.')) : name;
            if (first.matches("[a-z0-9-]+") && !first.equals("localhost")) {
                names.add(first + ".local");
            }
        } catch (UnknownHostException nameless) {
            // A machine without a name is reached by its addresses.
            names.remove("");
        }
        names.add("127.0.0.1");
        names.add("localhost");
        return List.copyOf(names);
    }
}
